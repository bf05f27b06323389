"""One page in the browser on which a case is designed: form, drawing, numbers by hand and from the simulation."""
