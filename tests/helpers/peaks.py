"""Peaks of one pushed coupling, looked at on finer meshes."""

from functools import cache

from helpers.push import case_of

from colletfea.cases.hand.calculation import hand
from colletfea.cases.judgement.peaks import look
from colletfea.cases.simulation import ladder, push
from colletfea.cases.simulation.ladder import End
from colletfea.cases.simulation.plan import plan
from colletfea.cases.simulation.pushed import silent
from colletfea.cases.stored.names import PARTS


_PUSHED = {}


def pushed(case, level="default"):
    """The push of a case that reached its own end; kept, for looking at it leaves it as it is."""
    key = level, repr(case.tables())
    if key not in _PUSHED:
        _PUSHED[key] = push.push(case, plan(case, hand(case), level), level, silent)
        assert _PUSHED[key].reason not in ("not converged", "interrupted"), _PUSHED[key].message
    return _PUSHED[key]


def looked_at(level="default", push_level=None, **keys):
    """Rows and beliefs of such a case (helpers.push); keys as for case_of."""
    case = case_of(**keys)
    return look(case, End.of(pushed(case, push_level or level)), PARTS, level, {})


seen = cache(looked_at)


def climbed(case, done, words, halvings=2):
    """The ladder at the spot of these words, at the end of a push."""
    end = End.of(done)
    whole = end.whole(case)
    (spot,) = [one for one in ladder.spots(case, whole, end.size) if one.words == words]
    return ladder.climb(ladder.remake_of(case, whole.model, end.size), whole, spot, halvings)
