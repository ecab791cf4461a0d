"""The stories of the sample, found in its raw files, without the program."""

import math
from collections import Counter
from datetime import date, timedelta

import pytest
from pyproj import Transformer

from tests.sample_reader import (
    LEAST_ARM_OHM,
    LEAST_STUD_OHM,
    apart,
    delivered,
    faults_and_years,
    features,
    latest,
    millivolt,
    off_line,
    ohm,
    readings,
    rows,
    sent_place,
)

OLD_DATUM_TAGS = [f"IJ-{n:03d}" for n in range(30, 39)]


def tags(first: int, last: int) -> list[str]:
    return [f"IJ-{n:03d}" for n in range(first, last + 1)]


def test_01_one_sleeve_batch_fails_early() -> None:
    last = {(d["joint"], d["fitted_on"]): d for d in rows("devices", kind="flange kit")}
    batch = [d for d in last.values() if d["batch"] == "19-07"]
    others = [d for d in last.values() if d["batch"] != "19-07"]
    assert len(batch) == 24
    assert {d["torque_target"] for d in batch} == {"271 N·m"}
    counts = [[faults_and_years(d) for d in group] for group in (batch, others)]
    found, years = (sum(f for f, _ in counts[0]), sum(y for _, y in counts[0]))
    elsewhere = sum(f for f, _ in counts[1]) / sum(y for _, y in counts[1])
    expected = elsewhere * years
    assert found == 7
    assert expected == pytest.approx(1.9, abs=0.02)
    less = sum(expected**k / math.factorial(k) for k in range(found))
    assert 1 - math.exp(-expected) * less == pytest.approx(0.0034, abs=0.0001)
    joints = {j["tag"]: j for j in rows("joints")}
    bad = [d["joint"] for d in batch if faults_and_years(d)[0]]
    degrees = Counter(joints[t]["temperature"] for t in bad)
    assert degrees == {"35 degC": 5, "140 degC": 2}


def test_02_three_joints_of_a_station_read_no_difference() -> None:
    here = readings(boundary="KP-B03")
    good = [t for t in here if t["tested_on"] == "2025-04-09"]
    assert [t["method"] for t in good] == ["potential-shift"]
    assert abs(millivolt(good[0]["b_on"]) - millivolt(good[0]["b_off"])) < 5
    bad = [t for t in here if t["tested_on"] > "2025-04-09"]
    assert {t["tested_on"] for t in bad} == {"2026-04-14"}
    assert Counter(t["joint"] for t in bad) == dict.fromkeys(tags(31, 33), 2)
    for t in bad:
        assert abs(millivolt(t["a_on"]) - millivolt(t["b_on"])) <= 4
    output = [(t["tested_on"], t["test_current"]) for t in readings(source="R2")]
    before = {amps for on, amps in output if "2025" <= on < "2025-11-18"}
    after = {amps for on, amps in output if on > "2025-11-18"}
    assert "4.2 A" in before
    assert after == {"6.8 A"}  # 62 % more than 4.2 A
    assert latest("paths", name="IT-32")["joint"] == "IJ-032"
    assert latest("paths", name="IT-32")["state"] == "not known"


def test_03_a_calendar_year_is_missed_inside_fifteen_months() -> None:
    visits = {t["tested_on"]: t["outcome"] for t in readings(joint="IJ-018")}
    recent = {on: what for on, what in visits.items() if on > "2023"}
    assert recent == {
        "2023-11-30": "measured",
        "2024-12-19": "gate locked",
        "2025-02-27": "measured",
    }
    assert max(recent) <= "2025-02-28"  # fifteen months after 2023-11-30
    assert [j["tag"] for j in rows("joints", boundary="TM-B03")] == ["IJ-018"]


def test_04_a_lubricant_with_metal() -> None:
    day = rows("installations", installed_on="2023-09-14")
    assert [r["joint"] for r in day] == tags(57, 62)
    assert {r["fitter"] for r in day} == {"C1"}
    said = {r["joint"]: r["lubricant"] for r in day}
    assert said["IJ-057"] == "nickel anti-seize"
    assert list(said.values()).count("as usual") == 2
    kit = latest("devices", joint="IJ-057")
    assert kit["lubricant_allowed"] == "non-metallic paste"


def test_05_axes_exchanged_and_zone_mislabelled() -> None:
    sent = delivered("contractor_south", "joints_contractor_south.csv")
    assert len(sent) == 12
    exchanged = [r["tag"] for r in sent if r["latitude"] and float(r["latitude"]) < 0]
    assert exchanged == ["IJ-047", "IJ-059", "IJ-081"]
    assert 31.3 < float(sent[1]["longitude"]) < 31.5  # inside the valid range
    back = Transformer.from_crs(32624, 4326, always_xy=True)
    far = []
    for r in sent:
        if r["crs"] == "EPSG:32624":
            lon, lat = back.transform(float(r["easting"]), float(r["northing"]))
            if lon > -41:
                far.append(r["tag"])
                true = sent_place("IJ-058")
                assert apart(true, (lat, lon))[0] == pytest.approx(570e3, abs=2e3)
    assert far == ["IJ-061", "IJ-082"]
    corrected = {p["name"] for p in rows("positions", subject="joint")}
    assert corrected & {*exchanged, *far} == {"IJ-059", "IJ-082"}


def test_06_nine_places_on_an_old_datum() -> None:
    line = next(c for f, p, c in features("lines.geojson") if p["name"] == "Main line")
    sent = [r for r in delivered("first_register", "joints_line.csv") if r["latitude"]]
    off = {r["tag"]: off_line(sent_place(r["tag"]), line) for r in sent}
    assert [t for t, metres in off.items() if metres > 100] == OLD_DATUM_TAGS
    assert max(m for t, m in off.items() if t not in OLD_DATUM_TAGS) < 10
    again = rows("positions", method="satellite, corrected", captured_on="2024-11-20")
    assert [p["name"] for p in again] == ["IJ-031", "IJ-032", "IJ-033"]
    for p in again:
        true = (float(p["latitude"]), float(p["longitude"]))
        east, north = apart(true, sent_place(p["name"]))
        assert (east, north) == (pytest.approx(-122, abs=1), pytest.approx(168, abs=1))


def test_07_good_by_every_test_and_thin_inside() -> None:
    joint = rows("joints", tag="IJ-088")[0]
    assert (joint["boundary"], joint["water_content"]) == ("PW-B02", "wet")
    for t in readings(boundary="PW-B02"):
        assert abs(millivolt(t["b_on"]) - millivolt(t["b_off"])) < 10
    step = rows("occurrences", kind="source step")[0]
    loss = rows("occurrences", kind="wall loss")[0]
    assert (step["source"], loss["joint"]) == ("R4", "IJ-088")
    assert step["happened_on"] < loss["happened_on"]
    assert "38 % at 5 o'clock" in loss["remark"]
    assert loss["place"].startswith("1.1 m past")


def test_08_a_surge_device_sticks_after_a_storm() -> None:
    storm = rows("occurrences", kind="storm", happened_on="2025-08-14")
    assert storm[0]["area"] == "Ridge"
    found = {
        t["stage"]: millivolt(t["a_on"]) - millivolt(t["a_off"])
        for t in readings(boundary="KP-B05", tested_on="2025-08-20")
    }
    assert found["as found"] < -50  # the far side follows
    assert abs(found["as left"]) < 5  # with the lead of SD-44 lifted
    checks = {t["path"]: t["indication"] for t in readings(tested_on="2025-08-20")}
    assert (checks["SD-43"], checks["SD-44"]) == ("no short", "short")
    assert latest("paths", name="SD-44")["removed_on"] == "2025-09-03"


def test_09_a_jumper_with_no_off() -> None:
    jumper = latest("paths", kind="temporary bond", joint="IJ-071")
    assert (jumper["fitted_on"], jumper["removed_on"]) == ("2025-10-02", "")
    after = [t for t in readings(boundary="PL-B05") if t["tested_on"] > "2025-10-02"]
    assert [t["tested_on"] for t in after] == ["2025-10-14", "2026-03-10"]
    assert all(t["a_on"] == t["b_on"] for t in after)
    others = [p for p in rows("paths", kind="temporary bond") if p != jumper]
    assert all(p["removed_on"] for p in others)


def test_10_a_sheet_equal_to_last_years() -> None:
    now = {t["joint"]: t for t in readings(tested_on="2025-06-03", method="ohmmeter")}
    then = {t["joint"]: t for t in readings(tested_on="2024-06-05", method="ohmmeter")}
    assert len(now) == len(then) == 10
    assert {t["person"] for t in (*now.values(), *then.values())} == {"T2"}
    same = [
        t for t, r in now.items()
        if (r["reading"], r["a_on"]) == (then[t]["reading"], then[t]["a_on"])
    ]  # fmt: skip
    assert len(same) == 8
    far = readings(tested_on="2025-06-03", joint="IJ-084")[0]
    assert (far["person"], far["tested_at"]) == ("T2", "2025-06-03T11:00:00Z")
    assert now["IJ-010"]["tested_at"] == "2025-06-03T10:48:00Z"
    metres = math.hypot(*apart(sent_place("IJ-010"), sent_place("IJ-084")))
    assert metres == pytest.approx(61e3, abs=500)


def test_11_a_meter_out_of_certificate() -> None:
    papers = rows("certificates", instrument="M-07")
    ends = {p["valid_until_on"]: p for p in papers}
    assert "2025-03-31" in ends
    again = next(p for p in papers if p["valid_from_on"] > "2025-03-31")
    assert again["valid_from_on"] == "2025-04-24"
    assert "in tolerance" in again["as_found"]
    used = [
        t for t in readings(instrument="M-07")
        if "2025-03-31" < t["tested_on"] < "2025-04-24"
    ]  # fmt: skip
    assert len({t["joint"] for t in used}) == len(used) == 14
    assert (used[0]["tested_on"], used[-1]["tested_on"]) == ("2025-04-02", "2025-04-18")


def test_12_renamed_replaced_and_drawn_three_ways() -> None:
    alias = rows("aliases", joint="IJ-012")[0]
    assert (alias["name"], alias["until_on"]) == ("IF-12", "2021-03-01")
    old, new = [d for d in rows("devices", joint="IJ-012") if d["removed_on"] or (
        d["fitted_on"] > "2024")]  # fmt: skip
    assert old["removed_on"] == new["fitted_on"] == "2024-05-06"
    drawings = rows("attachments", subject_key="IJ-012", view="drawing")
    assert len({d["sha256"] for d in drawings}) == 3


def test_13_two_joints_at_one_place_crossed_over() -> None:
    metres = math.hypot(*apart(sent_place("IJ-027"), sent_place("IJ-028")))
    assert metres == pytest.approx(0.8, abs=0.03)
    sheet = {}
    for t in readings(tested_on="2024-04-10", method="potential-shift"):
        if t["joint"] in ("IJ-027", "IJ-028"):
            sheet[t["folder"][:10], t["joint"]] = t["interrupted_side"]
    assert sheet["2024-06-14", "IJ-027"] == sheet["2025-04-25", "IJ-028"] == "A"
    assert sheet["2024-06-14", "IJ-028"] == sheet["2025-04-25", "IJ-027"] == "B"


def test_14_the_line_measured_again() -> None:
    posts = {
        m: [
            float(r["post"].removesuffix(" km")) for r in rows("chainages", measuring=m)
        ]
        for m in ("2016", "2022")
    }
    assert {18.2, 24.6} < set(posts["2016"])
    assert {18.2, 26.15} < set(posts["2022"])
    assert (posts["2016"][-1], posts["2022"][-1]) == (62.1, 63.65)
    where = {
        (r["measuring"], r["post"]): (r["latitude"], r["longitude"])
        for r in rows("chainages")
    }
    assert where["2016", "24.6 km"] == where["2022", "26.15 km"]
    assert where["2016", "62.1 km"] == where["2022", "63.65 km"]


def test_15_joined_on_purpose() -> None:
    assert rows("joints", tag="IJ-063")[0]["boundary"] == "PL-B03"
    boundary = latest("boundaries", name="PL-B03")
    assert boundary["joined_until_on"] == "2026-06-30"
    decision = rows("decisions", number=boundary["joined_by"])[0]
    assert decision["kind"] == "joined on purpose"
    assert (decision["person"], decision["second_person"]) == ("E1", "A1")


def test_16_six_meters_after_roof_work() -> None:
    meters = rows("joints", area="Alder Row")
    assert len(meters) == 20
    work = next(o for o in rows("occurrences") if o.get("area") == "Alder Row")
    last = {m["tag"]: readings(joint=m["tag"])[-1] for m in meters}
    joined = [t for t in last.values() if t["method"] == "potential-difference"]
    assert [t["joint"] for t in joined] == tags(112, 117)
    assert all(t["a_on"] == t["b_on"] for t in joined)
    start = date.fromisoformat(work["happened_on"])
    late = start + timedelta(weeks=5)
    assert all(start < date.fromisoformat(t["tested_on"]) <= late for t in joined)


def test_17_painted_flanges_read_low() -> None:
    painted = rows("occurrences", kind="painting")[0]
    tested = readings(tested_on="2026-04-21", method="ohmmeter")
    assert painted["happened_on"] < "2026-04-21"
    value = {t["joint"]: ohm(t["reading"]) for t in tested}
    assert [t for t, v in value.items() if v < 5000] == tags(1, 4)
    assert [v for v in value.values() if v < LEAST_ARM_OHM] == [640.0]


def test_18_a_torque_without_a_unit() -> None:
    sheet = {r["joint"]: r["torque_target"] for r in rows("installations")
             if r["joint"] in tags(49, 56) and r["installed_on"] < "2020"}  # fmt: skip
    assert sheet.pop("IJ-049") == "200"
    assert set(sheet.values()) == {"271 N·m"}


def test_19_two_sides_at_one_potential() -> None:
    last = readings(joint="IJ-040")[-1]
    assert (last["method"], last["a_on"], last["b_on"]) == (
        "potential-difference", "-1105 mV", "-1105 mV",
    )  # fmt: skip
    before = readings(joint="IJ-040", method="potential-shift")[-1]
    assert before["tested_on"] == "2025-04-10"
    assert abs(millivolt(before["b_on"]) - millivolt(before["b_off"])) < 5


def test_20_one_side_kits_read_near_zero_on_side_b() -> None:
    kits = {d["joint"]: d for d in rows("devices") if d["joint"] in tags(11, 26)}
    assert {d["layout"] for d in kits.values()} == {"one-side-a"}
    studs = [t for t in readings(scope="stud", method="stud-resistance")
             if t["joint"] in kits]  # fmt: skip
    assert {t["stage"] for t in studs} == {"before tie-in"}
    assert max(ohm(t["reading"]) for t in studs if t["side"] == "B") < 1
    assert min(ohm(t["reading"]) for t in studs if t["side"] == "A") > LEAST_STUD_OHM


def test_22_to_25_a_service_line_a_spare_bond_a_repair_and_a_permit() -> None:
    line = latest("structures", name="SV-20")
    assert (line["kind"], line["is_separate"]) == ("service line", "yes")
    assert latest("boundaries", name="MT-B20")["structure_a"] == "SV-20"
    bond = readings(path="RB-02")[-1]["tested_on"]
    idle = rows("occurrences", kind="out of use")
    assert [bond < o["happened_on"] for o in idle] == [True]
    repair = rows("occurrences", kind="repair")
    assert [o["joint"] for o in repair] == ["IJ-117"]
    assert repair[0]["happened_on"] > readings(joint="IJ-117")[-1]["tested_on"]
    permit = rows("decisions", kind="permit received")
    assert [d["subject_key"] for d in permit] == ["KP-B03"]
    fed = {s["name"]: s["also_feeds"] for s in rows("sources") if s.get("also_feeds")}
    assert fed == {"GA-7": "FG"}
