"""What may be signed of a thrust alone on a hub that sits on the ring."""

from helpers import decided
from helpers import results as made

from colletfea.cases.report import decision


def test_a_thrust_alone_draws_the_ring_off_and_slips_on_no_cone():
    """7550 N press a ring on that 5000 N draw off: 1.51 times, where 1.5 are asked for."""
    data = decided.holding(made.summary())
    data["case"]["duty"].update(torque=0.0, thrust=5000.0, carried_by="ring")
    drawn = decided.verdict("cone_slip", 7550.0, 7500.0, "N", True, "presses the ring on", "grip", least=True)
    data["verdicts"] = [*decided.verdicts(slip={"value": 9000.0, "limit": 7500.0, "unit": "N", "margin": 1.2}), drawn]
    said = decision.answer(data)
    assert "at the loosest fit and the worst friction the ring is drawn off at 1.51 times the thrust;" in said and "slips" not in said
    data["case"]["duty"].update(torque=60.0, thrust=0.0)
    data["verdicts"][-1].update(value=91.0, limit=90.0, unit="N m", margin=91 / 90)
    assert "the cone slips at 1.51 times the duty;" in decision.answer(data)
