"""`bedwright weigh-up` as a person meets it."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from bedcli.main import main
from bedcli.weigh_up_workers import refuse_open
from bedwright.design.buildup import bed_at_size
from bedwright.errors import FaultsFound
from bedwright.mechanics.pad_test import pad_test
from bedwright.works.workbook.reader import examine


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["weigh-up", *map(str, words)])


@pytest.fixture(scope="module")
def works(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("weigh") / "demo"
    assert CliRunner().invoke(main, ["new", str(folder), "--demo"]).exit_code == 0
    return folder


def test_a_brief_is_weighed_up_broken_off_and_gone_on_with(works: Path, tmp_path: Path) -> None:
    state = tmp_path / "state.json"
    first = run(works, "BRIEF-1", "--for", "hardness,cost", "--work", 16, "--members", 1, "--state", state)
    assert first.exit_code == 0 and "beds outside the band" in first.output, first.output
    assert "against HERON" in first.output
    again = run(works, "BRIEF-1", "--for", "hardness,cost", "--work", 16, "--state", state)
    assert again.exit_code == 2 and "go on from it with --resume" in again.output
    result = run(
        works, "BRIEF-1", "--for", "hardness,cost", "--work", 20, "--members", 1, "--state", state, "--resume",
        "--draw", tmp_path / "drawn", "--into", tmp_path / "drafts.xlsx", "--json",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    assert told["pressed"] == 20 and told["stopped"] == "the work is done" and told["seed"] == 1
    assert [one["aim"] for one in told["aims"]] == ["hardness", "cost"]
    assert told["own_bed"]["h_tangent"] == pytest.approx(6.92, abs=0.02)
    for one in told["best"]:
        low, high = one["h_tangent_interval"]
        assert low < one["h_tangent"] < high and one["residual"] < 1e-5
        assert one["outside_band"]["interval"][0] <= one["outside_band"]["share"] <= one["outside_band"]["interval"][1]
        assert abs(one["h_screened"] / one["h_tangent"] - 1) <= told["screened_h_off_at_most"] + 1e-5 <= 0.03
    (drawn,) = told["drawn"]
    ElementTree.fromstring(Path(drawn).read_text(encoding="utf-8"))
    examined = examine(tmp_path / "drafts.xlsx")
    assert examined.works is not None and not examined.grave
    for one in told["best"]:  # what was weighed is what the drafts give
        card = examined.works.beds[one["code"]]
        again_at_size = bed_at_size(examined.works, card, examined.works.sizes["150x200"])
        assert pad_test(again_at_size).hardness.tangent == pytest.approx(one["h_tangent"], rel=1e-4)
        assert {card["kind"] for card in one["cards"]} >= {"bed"}


def test_every_bad_input_is_a_sentence_and_all_at_once(works: Path, tmp_path: Path) -> None:
    result = run(
        works, "NOBODY", "--work", "many", "--seed", "-3", "--workers", 0, "--members", "x", "--resume",
        "--cluster-keys", tmp_path, "--replace",
    )  # fmt: skip
    assert result.exit_code == 2 and "Traceback" not in result.output
    for part in ("--work", "--seed", "--workers", "--members", "--resume goes with --state", "--cluster-keys goes",
                 "--replace goes", "is no brief of this works"):  # fmt: skip
        assert part in result.output, part
    assert "--work is missing" in run(works, "BRIEF-1").output
    assert "is no aim" in run(works, "BRIEF-1", "--work", 5, "--for", "beauty,cost").output
    assert "is no bed of this works" in run(works, "BRIEF-1", "--work", 5, "--bed", "GOOSE").output
    absent = run(works, "BRIEF-1", "--work", 5, "--state", tmp_path / "none.json", "--resume")
    assert absent.exit_code == 2 and "is not there" in absent.output
    (tmp_path / "odd.json").write_bytes(b"\xff\xfe")
    odd = run(works, "BRIEF-1", "--work", 5, "--state", tmp_path / "odd.json", "--resume")
    assert odd.exit_code == 2 and "holds no state" in odd.output
    (tmp_path / "file").write_text("")
    assert "is no folder" in run(works, "BRIEF-1", "--work", 5, "--draw", tmp_path / "file").output


@pytest.mark.parametrize(
    "address",
    ["tcp://10.0.0.5:8786", "10.0.0.5:8786", "tcp://localhost.evil.org:80", "ucx://127.0.0.1:1", "", "tcp://127.0.0.1",
     "inproc://x", "tcp://0.0.0.0:8786"],
)  # fmt: skip
def test_open_clusters_are_refused(address: str) -> None:
    with pytest.raises(FaultsFound, match="neither a cluster on this machine nor one over TLS"):
        refuse_open(address, None)


def test_locked_clusters_need_their_keys(tmp_path: Path) -> None:
    refuse_open("tcp://127.0.0.1:8786", None)
    refuse_open("tcp://[::1]:8786", None)
    with pytest.raises(FaultsFound, match=r"has no ca\.pem, cert\.pem, key\.pem"):
        refuse_open("tls://press.example:8786", tmp_path)
    for name in ("ca.pem", "cert.pem", "key.pem"):
        (tmp_path / name).write_text("")
    refuse_open("tls://press.example:8786", tmp_path)
