"""Prior, photo and answers to chances over materials."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import partial

import numpy as np

from idkit import facts
from idkit.decide.evidence import informative
from idkit.vocabulary import Answers, Check, Evidence, Floats, Form, Material

LogOf = Callable[[Check, Answers], Floats]
NEVER = 1e-9  # no chance is 0


def chances(
    materials: Sequence[Material],
    evidence: Evidence,
    form: Form,
    checks: Mapping[str, Check],
    *,
    even: bool = False,
    log_of: LogOf | None = None,
    prior: Floats | None = None,
) -> Floats:
    """Chances over the materials, summing to 1: prior(m given form) x photo(m) x product of P(answer | m, others).

    With `even` every material is as common as any other. Colour of bare metal counts once: see `senses`. `log_of`
    keeps what answers say, and `prior` is the log of the prior; without them, they are worked out anew.
    """
    logs = np.zeros(len(materials)) if even else log_prior(materials, form) if prior is None else prior
    for factor in factors(materials, evidence, checks, log_of).values():
        logs = logs + factor
    raised = np.exp(logs - logs.max())
    floored = np.maximum(raised / raised.sum(), NEVER)
    return np.asarray(floored / floored.sum())


def log_prior(materials: Sequence[Material], form: Form) -> Floats:
    """Log of how common each material is among parts of this form, up to a constant.

    A material that a person described shares what its row has with that row, so that naming one makes no pile commoner.
    """
    rows = [facts.kin(material.id) for material in materials]
    shared = Counter(rows)
    return np.log([form.likely.get(row, 1.0) / shared[row] for row in rows])


def factors(
    materials: Sequence[Material], evidence: Evidence, checks: Mapping[str, Check], log_of: LogOf | None = None
) -> dict[str, Floats]:
    """Log of each factor of the product beside the prior, by name: photo, and one for each answer that counts."""
    found: dict[str, Floats] = {}
    use_photo, answers = senses(evidence)
    if use_photo and evidence.photo is not None:
        found["photo"] = np.array([evidence.photo.log_photo[material.id] for material in materials])
    for name in informative(answers):
        found[name] = (log_of or partial(log_likelihood, materials))(checks[name], answers)
    return found


def senses(evidence: Evidence) -> tuple[bool, Answers]:
    """Whether the photo counts, and the answers that count: one factor a sense.

    On a scratch, the colour of bare metal comes from a cut end where that was answered, else from the photo where its
    white is known, else from the eye. A photo unlike anything known says nothing: what the classifier makes of it is
    made of air.
    """
    answers = dict(evidence.answers)
    if evidence.photo is not None and evidence.photo.unlike:
        return False, answers
    if evidence.photo is not None and evidence.surface == "scratched" and "cut-end" in answers:
        return False, answers
    if evidence.photo is None or evidence.surface != "scratched" or "scratch-colour" not in answers:
        return evidence.photo is not None, answers
    if sees_the_scratch(evidence):
        del answers["scratch-colour"]
        return True, answers
    return False, answers


def sees_the_scratch(evidence: Evidence) -> bool:
    """Whether the photo tells the colour of a scratch, its white known and the part like something known."""
    photo = evidence.photo
    return photo is not None and evidence.surface == "scratched" and photo.trusted_colour and not photo.unlike


def log_likelihood(materials: Sequence[Material], check: Check, answers: Answers) -> Floats:
    """Log P(answer | m, others) of one answered check, for every material."""
    mine = answers[check.name]
    others = {name: answer for name, answer in answers.items() if name != check.name}
    return np.log([max(check.likelihood(material, mine, others), 1e-300) for material in materials])
