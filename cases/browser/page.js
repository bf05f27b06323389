// The page's own script: what is typed goes to the program, what it answers is put in place. No text becomes markup here
// but the program's own, which it has escaped.
const colletfea = (() => {
  let sent = 0;
  const last = new Map(); // what the program knows of each field: a change that no input event told of is sent as well
  const at = (id) => document.getElementById(id);
  const field = (key) => at("f-" + key);
  const fields = () => document.querySelectorAll("[data-field]");
  const text = (f) => (f.type === "checkbox" ? (f.checked ? "yes" : "") : f.value);

  function arrange() {
    document.querySelectorAll("[data-optional]").forEach((g) => g.classList.toggle("absent", !field(g.dataset.optional).checked));
    document.querySelectorAll("[data-of]").forEach((d) => (d.hidden = field(d.dataset.of).value !== "own"));
  }
  function put(id, html) { if (at(id).innerHTML !== html) at(id).innerHTML = html; }
  function waiting(serial) { document.body.classList.toggle("waiting", serial !== sent); }

  function fill(values) {
    for (const f of fields()) {
      const value = values[f.dataset.field] ?? "";
      if (f.type === "checkbox") { f.checked = value === "yes"; continue; }
      if (f.tagName === "SELECT" && ![...f.options].some((o) => o.value === value)) f.add(new Option(value, value));
      f.value = value;
    }
    for (const f of fields()) last.set(f, text(f));
    arrange();
  }
  function leftOut(f, used) {
    if (f.tagName === "SELECT") f.options[0].textContent = used ? `${{ true: "yes", false: "no" }[used] ?? used} (not given)` : "";
    else f.placeholder = used ?? "";
  }
  function show(answer) {
    if (answer.serial < sent) return;
    if (answer.drawing !== null) put("drawing", answer.drawing);
    document.body.classList.toggle("undrawn", answer.drawing === null);
    const open = [...document.querySelectorAll("#results tr details[open]")].map((d) => d.closest("tr").dataset.verdict);
    put("decision", answer.decision);
    put("results", answer.results);
    open.forEach((n) => document.querySelector(`#results tr[data-verdict="${CSS.escape(n ?? "")}"] details`)?.setAttribute("open", ""));
    put("variants", answer.variants);
    at("free").textContent = answer.free.join(" ");
    for (const f of fields()) {
      const key = f.dataset.field, said = (answer.faults[key] ?? []).join(" ");
      leftOut(f, answer.used[key]);
      if (at("e-" + key).textContent !== said) at("e-" + key).textContent = said;
      if (said) { f.setAttribute("aria-invalid", "true"); f.closest("details").open = true; } else f.removeAttribute("aria-invalid");
      f.closest(".field").classList.toggle("beside", answer.beside.includes(key));
    }
    waiting(answer.serial);
  }
  function state(s) {
    at("bar").hidden = !s.running;
    at("progress").value = s.fraction;
    at("doing").textContent = s.running ? s.text : "";
    at("stop").disabled = s.stopping;
    document.querySelectorAll("[data-needs]").forEach((b) => (b.disabled = !s[b.dataset.needs]));
  }
  function say(words) { at("said").textContent = words; }
  function go(key) {
    const f = field(key);
    if (!f) return;
    f.closest("details").open = true;
    f.focus();
    f.select?.();
    f.scrollIntoView({ block: "center" });
  }
  function typed(f) {
    if (last.get(f) === text(f)) return;
    last.set(f, text(f));
    sent += 1;
    waiting(-1);
    say("");
    arrange();
    emitEvent("typed", { serial: sent, key: f.dataset.field, text: text(f) });
  }
  document.addEventListener("input", (e) => { if (e.target.dataset?.field) typed(e.target); });
  document.addEventListener("change", (e) => {
    if (e.target.dataset?.field) typed(e.target);
    if (e.target.id === "example" && e.target.value) { emitEvent("asked", { what: "example", with: e.target.value, serial: sent }); e.target.value = ""; }
  });
  document.addEventListener("click", (e) => {
    const size = e.target.closest?.("#drawing [data-key]"), button = e.target.closest?.("[data-do]");
    if (size) go(size.dataset.key);
    else if (button?.dataset.do === "open") document.querySelector("input[type=file]").click();
    else if (button) emitEvent("asked", { what: button.dataset.do, with: button.dataset.with ?? at("level").value, serial: sent });
  });
  document.addEventListener("keydown", (e) => {
    const size = e.target.closest?.("#drawing [data-key]");
    if (size && (e.key === "Enter" || e.key === " ")) { e.preventDefault(); go(size.dataset.key); }
  });
  document.addEventListener("focusin", (e) => {
    const key = e.target.dataset?.field ?? e.target.dataset?.key;
    if (key) at("in-hand").textContent = `#drawing [data-key="${CSS.escape(key)}"] { fill: #0b57d0; font-weight: bold; text-decoration: underline; }`;
  });
  function gone(is) {
    document.body.classList.toggle("gone", is);
    at("gone").textContent = is ? "The program has ended or can't be reached: nothing on this page is worked out any more." : "";
  }
  function watch() {
    if (!window.socket || !at("gone")) return setTimeout(watch, 50);
    window.socket.on("disconnect", () => gone(true));
    window.socket.on("connect", () => gone(false));
    new ResizeObserver(() => document.documentElement.style.setProperty("--top", at("top").offsetHeight + "px")).observe(at("top"));
    document.body.dataset.ready = "yes";
    emitEvent("asked", { what: "start", serial: sent });
  }
  addEventListener("load", watch);
  return { fill, show, state, say };
})();
