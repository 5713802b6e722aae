"""What the tests of locales work on: a small board, a plan whose figures have decimals, a recorded run, and every verb of
leeward-cli once."""
import json
import os
import subprocess

PARTS = [
    ("U1", "A", 30.25, 20.125, 0.0, "top"),
    ("C1", "B", 42.5, 20.75, 90.0, "top"),
    ("C2", "B", 29.75, 18.5, 12.5, "bottom"),
]
JOB = {
    "leeward_format": 1,
    "ambient_c": 23.5,
    "board": {"thickness_mm": 1.55,
              "outline": [{"corners": [{"x_mm": x, "y_mm": y} for x, y in ((0, 0), (60.5, 0), (60.5, 40.25), (0, 40.25))]}]},
    "packages": [{"name": "A", "kind": "area-array", "length_mm": 15.5, "width_mm": 15, "height_mm": 1.45,
                  "joints": {"pattern": "grid", "columns": 10, "rows": 10, "pitch_mm": 1.27}},
                 {"name": "B", "kind": "electrolytic", "length_mm": 6.6, "width_mm": 6.6, "height_mm": 5.4}],
    "parts": [{"ref": ref, "package": package, "x_mm": x, "y_mm": y, "rotation_deg": turn, "side": side}
              for ref, package, x, y, turn, side in PARTS],
    "station": {"nozzles": [{"name": "N18", "length_mm": 18.5, "width_mm": 18.5}]},
    "plans": [{"ref": "U1", "nozzle": "N18", "nozzle_height_mm": 2.75,
               "preheat_area": {"x_mm": 30.5, "y_mm": 20.5, "length_mm": 50.5, "width_mm": 40.5},
               "stages": [{"name": "Soak", "duration_s": 150.5, "preheat_c": 200.5},
                          {"name": "Melt", "duration_s": 80.5, "gas_c": 330.5, "flow_l_per_min": 30.5, "preheat_c": 200.5},
                          {"name": "Cool", "duration_s": 40}],
               "thermocouples": [{"name": "corner", "ref": "U1", "x_mm": 25.25, "y_mm": 15.5, "side": "bottom"},
                                 {"name": "lid", "ref": "U1", "x_mm": 30.25, "y_mm": 20.125, "side": "top"}]}],
}


def write_job(folder):
    path = os.path.join(folder, "job.leeward")
    with open(path, "w", encoding="utf-8") as file:
        json.dump(JOB, file)
    return path


def write_run(cli, folder, job):
    """What a station would log that warms the board a little more than asked."""
    truth = json.loads(json.dumps(JOB))
    for stage in truth["plans"][0]["stages"]:
        if "preheat_c" in stage:
            stage["preheat_c"] += 9.5
    made, table, path = (os.path.join(folder, name) for name in ("truth.leeward", "truth.csv", "run.csv"))
    with open(made, "w", encoding="utf-8") as file:
        json.dump(truth, file)
    subprocess.run([cli, "predict", made, "--csv", table], check=True, capture_output=True)
    with open(table, encoding="utf-8") as file:
        lines = [line.rstrip("\n").split(",") for line in file]
    time, c, of = 0, lines[0].index("U1 joint_min_c"), lines[0].index("U1 body_c")
    with open(path, "w", encoding="utf-8") as file:
        file.write("Time (s),corner (°C),lid (°C)\n")
        file.writelines(f"{row[time]},{row[c]},{row[of]}\n" for row in lines[1:])
    for left in (made, table):
        os.remove(left)
    return path


def write_past(cli, folder, job, run):
    """The job with the run in it, and a plan that is another since."""
    path = os.path.join(folder, "past.leeward")
    subprocess.run([cli, "compare", job, run, "-o", path], check=True, capture_output=True)
    with open(path, encoding="utf-8") as file:
        kept = json.load(file)
    plan = kept["plans"][0]
    plan["nozzle_height_mm"], plan["operation"], plan["stages"][1]["shape"] = 3.125, "place", "ramp"
    plan["thermocouples"][1]["side"] = "bottom"
    with open(path, "w", encoding="utf-8") as file:
        json.dump(kept, file)
    return path


def write_all(cli, folder):
    """The files that verbs() names."""
    job = write_job(folder)
    write_past(cli, folder, job, write_run(cli, folder, job))


def verbs():
    """Every verb but show, which writes only pixels, as (words, files it writes), to be run where write_all() wrote."""
    job, run, past = "job.leeward", "run.csv", "past.leeward"
    return [
        (["inspect", job, "--parts"], []),
        (["convert", job, "out.leeward"], ["out.leeward"]),
        (["convert", job, "out.emn"], ["out.emn", "out.emp"]),
        (["convert", job, "out.csv"], ["out.csv"]),
        (["inspect", "out.emn"], []),
        (["convert", "out.csv", "back.leeward"], ["back.leeward"]),
        (["predict", job, "--csv", "curves.csv"], ["curves.csv"]),
        (["judge", job, "--all"], []),
        (["compare", job, run, "-o", "kept.leeward"], ["kept.leeward"]),
        (["history", past], []),
        (["history", past, "--changes", "1"], []),
        (["history", past, "--restore", "1", "-o", "restored.leeward"], ["restored.leeward"]),
        (["fit", job, run, "-o", "fitted.leeward"], ["fitted.leeward"]),
        (["fit", job, "--suggest"], []),
        (["seek", job, "-o", "sought.leeward", "--effort", "1", "--unconfirmed"], ["sought.leeward"]),
        (["picture", job, "-o", "board.svg", "--plain"], ["board.svg"]),
        (["picture", job, "-o", "profile.svg", "--profile"], ["profile.svg"]),
        (["sheet", job, "-o", "sheet.pdf", "--stages", "stages.csv", "--field", "field.csv", "--quick", "--date", "2026-11-26"],
         ["sheet.pdf", "stages.csv", "field.csv"]),
    ]


def report(found):
    """Tells (name, what is wrong or nothing) of each check as TAP; whether any failed."""
    number = failed = 0
    for name, why in found:
        number += 1
        failed += bool(why)
        print(f"{'not ok' if why else 'ok'} {number} - {name}")
        print("".join(f"# {line}\n" for line in why.splitlines()), end="")
    print(f"1..{number}")
    return failed > 0
