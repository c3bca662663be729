"""idkit train and idkit models on made-up confirmed parts, from end to end."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from idkit import facts, flows, keep
from idkit.decide import fuse
from idkit.decide.adapting import fit
from idkit.flows import models, own_parts, training
from idkit.flows.recording import tables_of
from idkit.keep.downgrades import Downgrade
from idkit.show.cli import run
from idkit.vocabulary import Answer, Entry, KeptPhoto, Label, Sample

Store = Callable[..., list[int]]


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    return tmp_path / "idkit"


@pytest.fixture
def store() -> Store:
    """Keeps parts whose cues are drawn from the starter's own spread of their kind, a step off, and confirms them."""

    def fill(
        kinds: list[str], by: str = "yard", seed: int = 1, wrong: int | None = None, off: float = 0.7
    ) -> list[int]:
        random, numbers = np.random.default_rng(seed), []
        for at, kind in enumerate(kinds):
            called = ("lead" if kind != "lead" else "copper") if at == wrong else kind
            numbers.append(keep.add(entry(kind, random, off, f"{seed}-{at}"), label(called, by)))
        return numbers

    return fill


def entry(kind: str, random: np.random.Generator, off: float, name: str) -> Entry:
    model = flows.starter()
    ground = own_parts.ground_of(model)
    at = [ground.materials[n] for n in ground.modelled].index(kind)
    row = np.clip(
        random.multivariate_normal(ground.spread.mean[at, 0], ground.spread.covariance[at, 0]) + off, -3.9, 3.9
    )
    cues = dict(zip(model.cues, (row * model.spread + model.centre).tolist(), strict=True))
    white = {"kind": "paper", "red_green": 0.0, "blue_green": 0.0, "uncertainty": 0.1, "grid": [[0.0, 0.0, 1.0]]}
    photo = KeptPhoto(f"/bench/{name}.jpg", name.rjust(64, "0"), cues, white, {kind: 0.1}, random.bytes(32), b"x")
    magnet = "strong" if facts.material(kind).magnet.get("strong", 0) > 0.5 else "none"
    answers = {"magnet": Answer("magnet", magnet, typed=magnet)}
    return Entry(
        name, "identify", "as-found", answers, {kind: 1.0}, "copper", False, (model.name, model.digest), {"part": name},
        (photo,),
    )  # fmt: skip


def label(material: str, by: str = "yard") -> Label:
    pile = facts.category_of(material, None, None, None).category.id
    return Label(0, "", by, "Old Quay" if by == "yard" else "", (material,), pile)


def test_without_a_confirmed_part_it_says_how_to_confirm_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["train"]) == 2
    assert capsys.readouterr().err == (
        "train: got no confirmed part; right is at least one; from 10 on photos teach too; "
        "idkit confirm, or idkit samples add, says what parts are\n"
    )


def test_it_learns_keeps_and_uses_a_model_and_goes_back(store: Store, capsys: pytest.CaptureFixture[str]) -> None:
    store(["copper", "yellow-brass", "lead"] * 8)
    assert run(["train"]) == 0
    told = capsys.readouterr().out
    assert "own-1 judges from now on" in told
    assert "24 confirmed parts, 24 of them" in told
    assert flows.model_in_use().name == "own-1"
    folder = keep.models_folder() / "own-1"
    assert {"own-1.npz", "own-1.json", "report.txt", "report.json"} <= {path.name for path in folder.iterdir()}
    kept = json.loads((folder / "report.json").read_text("utf-8"))
    assert kept["used"] is True
    assert kept["model"] == "own-1"
    assert kept["after"]["material"]["log_loss"] < kept["before"]["material"]["log_loss"]
    assert kept["own_parts"] == {"copper": 8, "yellow-brass": 8, "lead": 8}
    assert run(["models", "show"]) == 0
    assert "before" in capsys.readouterr().out
    assert run(["models", "use", "starter"]) == 0
    assert flows.model_in_use().name == "starter"
    assert run(["models", "list"]) == 0
    assert "24 own parts" in capsys.readouterr().out
    assert run(["models", "use", "own-7"]) == 2
    assert "own-7" in capsys.readouterr().err


def test_the_model_in_use_judges(store: Store) -> None:
    """The same answers and cues come out otherwise once own parts were learnt, under the name of the new model."""
    before = flows.identify([], {"magnet": "none"})
    store(["copper", "yellow-brass", "lead"] * 8)
    flows.train(insist=True)
    after = flows.identify([], {"magnet": "none"})
    assert before.record.model[0] == "starter"
    assert after.record.model[0] == "own-1"
    assert flows.digest() != _digest_of_starter()


def _digest_of_starter() -> str:
    keep.use_model("")
    return flows.digest()


def test_few_parts_are_too_few_to_tell_and_can_be_insisted_on(store: Store, capsys: pytest.CaptureFixture[str]) -> None:
    store(["copper", "lead", "copper"])
    assert run(["train"]) == 0
    assert "judges from now on" not in capsys.readouterr().out
    assert flows.model_in_use().name == "starter"
    assert run(["train", "--use"]) == 0
    told = capsys.readouterr().out
    assert "judges from now on" in told
    assert "You insisted" in told


def test_ones_own_word_teaches_and_never_tests(store: Store) -> None:
    store(["copper", "lead"] * 6, by="self")
    found = flows.train()
    assert (found.parts, found.tests, found.used) == (12, 0, False)


def test_a_wrong_label_is_among_the_first_to_be_looked_at(store: Store) -> None:
    numbers = store(["copper", "yellow-brass", "lead", "plastic"] * 10, wrong=5)
    found = flows.train()
    assert numbers[5] in [each.record for each in found.suspects[:3]]


def test_a_downgraded_line_of_sixty_moves_no_other_part(store: Store) -> None:
    """What a yard paid less for says nothing of the parts in it, but of the one that caused it."""
    numbers = store(["copper", "lead"] * 8)
    rest = [keep.add(entry("copper", np.random.default_rng(n), 0.7, f"line-{n}"), None) for n in range(60)]
    before = [training.learn(keep.samples(), flows.starter())[0]]
    keep.downgrade(Downgrade("Old Quay", "copper", "copper-no-2", "solder", tuple(rest)))
    before.append(training.learn(keep.samples(), flows.starter())[0])
    assert len(keep.samples()) == len(numbers)
    assert before[0].losses == before[1].losses
    assert before[0].after.told == before[1].after.told
    culprit = replace(label("lead"), record=rest[0])
    keep.downgrade(Downgrade("Old Quay", "copper", "lead", "lead", tuple(rest), rest[0]), culprit)
    assert {sample.record for sample in keep.samples()} == {*numbers, rest[0]}


def test_priors_learn_from_parts_picked_at_random_alone(store: Store) -> None:
    store(["copper", "copper", "copper", "lead"] * 6)
    ground, parts = own_parts.ground_of(flows.starter()), own_parts.own_parts(keep.samples(), flows.starter())
    asked_for = [replace(part, at_random=True) for part in parts]
    doubtful, drawn = (fit(each, ground, (5.0, np.inf)) for each in (parts, asked_for))
    at = doubtful.materials.index("copper")
    assert not doubtful.lift.any()
    assert drawn.lift[at] > drawn.lift[drawn.materials.index("lead")] > drawn.lift[drawn.materials.index("tin")]


def test_answers_teach_what_is_said_of_a_material(store: Store) -> None:
    """Twenty parts of stainless that a magnet pulls strongly, against what the facts say of it."""
    samples = [_pulling(sample) for sample in _confirmed(store, ["stainless-austenitic", "copper"] * 10)]
    ground, parts = own_parts.ground_of(flows.starter()), own_parts.own_parts(samples, flows.starter())
    model = replace(flows.starter(), own=fit(parts, ground, (5.0, np.inf)))
    was, now = (tables_of(each) for each in (flows.starter(), model))
    check, answers = was.checks["magnet"], {"magnet": Answer("magnet", "strong", typed="strong")}
    at = [row.id for row in was.materials].index("stainless-austenitic")
    # 10 parts of weight 0.9 pulled strongly, added to 20 that do as the facts say.
    fact = float(np.exp(was.log(check, answers)[at]))
    assert np.exp(now.log(check, answers)[at]) == pytest.approx((9 + 20 * fact) / 29)


def _confirmed(store: Store, kinds: list[str]) -> list[Sample]:
    store(kinds)
    return list(keep.samples())


def _pulling(sample: Sample) -> Sample:
    return replace(sample, answers={"magnet": Answer("magnet", "strong", typed="strong")})


def test_a_model_for_other_cues_is_refused_with_the_way_back(store: Store, capsys: pytest.CaptureFixture[str]) -> None:
    store(["copper", "lead"] * 6)
    flows.train(insist=True)
    card = keep.models_folder() / "own-1" / "own-1.json"
    told = json.loads(card.read_text("utf-8"))
    told["cues"] = ["redness"]
    card.write_text(json.dumps(told), encoding="utf-8")
    models._loaded.cache_clear()  # as another run of the program would find it
    assert run(["identify", "--magnet", "none"]) == 3
    assert "idkit models use starter" in capsys.readouterr().err
    assert run(["models", "use", "starter"]) == 0
    assert run(["identify", "--magnet", "none"]) == 0


# Materials of one's own -----------------------------------------------------------------------------------------------

DZR = ["material", "new", "DZR brass", "--like", "yellow-brass", "--density", "8,4", "--magnet", "none"]


def own_material(count: int, seed: int, by: str = "yard") -> None:
    """Keeps parts that look like red brass and were called DZR brass."""
    random = np.random.default_rng(seed)
    for at in range(count):
        known = replace(label("yellow-brass", by), materials=("yellow-brass/dzr-brass",))
        keep.add(entry("red-brass", random, 0.7, f"dzr-{seed}-{at}"), known)


def test_a_material_of_ones_own_is_described_and_confirmed_by_its_name(
    store: Store, capsys: pytest.CaptureFixture[str]
) -> None:
    """Density of dezincification resistant brass CW602N, 8.4 g/cm3: from memory."""
    (record,) = store(["yellow-brass"])
    assert run(DZR) == 0
    assert "8.40 g/cm3" in capsys.readouterr().out
    assert run(["confirm", str(record), "dzr brass", "--by", "analyser"]) == 0
    told = capsys.readouterr().out
    assert "dzr brass" in told
    (sample,) = keep.samples()
    assert sample.materials == ("yellow-brass/dzr-brass",)
    assert sample.label.pile == facts.category_of("yellow-brass", None, None, None).category.id
    assert run(["material", "list", "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)["materials"]
    assert (row["confirmed"], row["wanted"], row["density_kg_m3"][1]) == (1, 10, 8400)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["x", "--like", "brasss"], "did you mean"),
        (["x", "--density", "8.4"], "--like"),
        (["x", "--like", "copper", "--density", "84"], "--density"),
        (["x", "--like", "something else"], "goes with"),
        (["x", "--like", "copper", "--magnet", "maybe"], "magnet"),
        (["copper", "--like", "copper"], "copper"),
        (["a/b", "--like", "copper"], "a/b"),
        (["DZR  brass", "--like", "copper"], "dzr brass is like yellow brass"),
    ],
)
def test_what_can_t_be_a_material_is_refused_in_a_line(
    words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    run(DZR)
    capsys.readouterr()
    assert run(["material", "new", *words]) == 2
    said = capsys.readouterr().err
    assert told in said
    assert said.count("\n") == 1
    assert len(flows.described()) == 1


def test_described_anew_it_keeps_its_name_and_what_was_not_said(capsys: pytest.CaptureFixture[str]) -> None:
    run(DZR)
    assert run(["material", "new", "dzr brass", "--density", "8500 kg/m3"]) == 0
    assert "described anew" in capsys.readouterr().out
    (row,) = flows.described()
    assert (row.id, row.density_typical, row.magnet["none"]) == ("yellow-brass/dzr-brass", 8500.0, 0.96)


def test_it_joins_once_there_are_enough_and_both_counts_are_said_before(
    store: Store, capsys: pytest.CaptureFixture[str]
) -> None:
    run(DZR)
    own_material(9, seed=5)
    store(["copper", "yellow-brass", "lead"] * 8)
    capsys.readouterr()
    assert run(["train", "--use"]) == 0
    assert "dzr brass: 9 confirmed, 10 wanted" in capsys.readouterr().out
    assert "yellow-brass/dzr-brass" not in flows.identify([], {"magnet": "none"}).record.verdict.chances
    own_material(5, seed=6)
    assert run(["train", "--use"]) == 0
    assert "confirmed, 10 wanted" not in capsys.readouterr().out
    told = flows.identify([], {"magnet": "none", "form": "fitting"}).record.verdict
    assert sum(told.chances.values()) == pytest.approx(1)
    assert told.chances["yellow-brass/dzr-brass"] > 0.01
    assert run(["identify", "--magnet", "none", "--form", "fitting"]) == 0
    assert run(["models", "use", "starter"]) == 0
    assert "yellow-brass/dzr-brass" not in flows.identify([], {"magnet": "none"}).record.verdict.chances


def test_where_all_parts_are_of_a_material_with_too_few_nothing_is_learnt(capsys: pytest.CaptureFixture[str]) -> None:
    run(DZR)
    own_material(3, seed=5)
    capsys.readouterr()
    assert run(["train"]) == 0
    told = capsys.readouterr().out
    assert "No new model: every confirmed part is of a material of your own" in told
    assert "dzr brass: 3 confirmed, 10 wanted" in told


def test_its_parts_teach_what_it_looks_like(store: Store) -> None:
    """Parts called so look like red brass, and red brass is there beside them: near half of them are then called so,
    none by the description alone."""
    run(DZR)
    own_material(20, seed=7)
    store(["yellow-brass", "copper", "lead", "red-brass"] * 6)
    found, model = training.learn(keep.samples(), flows.starter(), insist=True)
    assert model is not None
    assert found.before is not None
    assert found.after is not None
    before, after = (each.scores["material"].by_name["yellow-brass/dzr-brass"] for each in (found.before, found.after))
    assert before.right == 0
    assert after.right > 5
    loaded = models.keep_model(model, lambda *_: None)
    assert [row.id for row in loaded.described] == ["yellow-brass/dzr-brass"]
    assert loaded.described[0] == model.described[0]


def test_a_name_without_its_photos_lessons_makes_no_pile_commoner() -> None:
    """Shared with the row that it is like: the prior of the two together is what that row had alone."""
    row = facts.described("dzr brass", "yellow-brass", density=8400.0)
    rows = [*facts.materials().values()]
    form = facts.form("fitting")
    alone, both = (np.exp(fuse.log_prior(each, form)) for each in (rows, [*rows, row]))
    at = [each.id for each in rows].index("yellow-brass")
    assert both[at] + both[-1] == pytest.approx(alone[at])
    assert both[:at] == pytest.approx(alone[:at])
