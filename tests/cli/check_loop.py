"""A whole job on the command line (TAP): a board comes in, is judged, gets a better plan and its sheet; a run is recorded,
laid over the plan and fitted; and the next prediction is nearer to what was recorded.

The recorded run is made up: the full solution of a station that warms the board from below by 12 C more than asked, with
0.3 K of noise (seeded). The plan knows nothing of that."""
import json
import os
import random
import subprocess
import sys
import tempfile

CLI = sys.argv[1]
JOB = {
    "leeward_format": 1,
    "board": {"thickness_mm": 1.6, "outline": [{"corners": [{"x_mm": x, "y_mm": y} for x, y in ((0, 0), (60, 0), (60, 40), (0, 40))]}]},
    "packages": [{"name": "A", "kind": "area-array", "length_mm": 15, "width_mm": 15, "height_mm": 1.5,
                  "joints": {"pattern": "grid", "columns": 10, "rows": 10, "pitch_mm": 1.27}}],
    "parts": [{"ref": "U1", "package": "A", "x_mm": 30, "y_mm": 20, "kept_after": True,
               "past": {"level": "3", "exposure_h": 8760}}],
    "station": {"nozzles": [{"name": "N18", "length_mm": 18, "width_mm": 18}]},
    "plans": [{"ref": "U1", "nozzle": "N18",
               "preheat_area": {"x_mm": 30, "y_mm": 20, "length_mm": 50, "width_mm": 40},
               "stages": [{"name": "Soak", "duration_s": 150, "preheat_c": 200},
                          {"name": "Melt", "duration_s": 80, "gas_c": 330, "flow_l_per_min": 30, "preheat_c": 200},
                          {"name": "Cool", "duration_s": 40}],
               "thermocouples": [{"name": "U1 top", "ref": "U1", "x_mm": 30, "y_mm": 20, "side": "top"}]}],
}


def run(*words):
    return subprocess.run([CLI, *words], capture_output=True, text=True)


def body(job, *words):
    """Times and temperatures of the target's body, as predicted."""
    answer = json.loads(run("predict", job, "--json", *words).stdout)
    return answer["time_s"], answer["target"]["body_c"]


def at(curve, t):
    times, values = curve
    for i in range(len(times) - 1):
        if times[i] <= t <= times[i + 1]:
            share = (t - times[i]) / (times[i + 1] - times[i]) if times[i + 1] > times[i] else 0
            return values[i] + share * (values[i + 1] - values[i])
    return values[-1]


def write_run(path, job_path):
    truth = json.loads(json.dumps(JOB))
    for stage in truth["plans"][0]["stages"]:
        if "preheat_c" in stage:
            stage["preheat_c"] += 12
    with open(job_path, "w", encoding="utf-8") as file:
        json.dump(truth, file)
    curve, noise = body(job_path, "--full"), random.Random(20261126)
    rows = [(t, at(curve, t) + noise.gauss(0, 0.3)) for t in range(0, 270, 2)]
    with open(path, "w", encoding="utf-8") as file:
        file.write("Time (s),U1 top (°C)\n" + "".join(f"{t},{c:.2f}\n" for t, c in rows))
    return rows


def apart(job, rows):
    """Root mean square of prediction less record, K."""
    curve = body(job)
    return (sum((at(curve, t) - c) ** 2 for t, c in rows) / len(rows)) ** 0.5


def checks(folder):
    path = {name: os.path.join(folder, name) for name in
            ("job.leeward", "true.leeward", "better.leeward", "fitted.leeward", "run.csv", "sheet.pdf", "sheet2.pdf", "fit.pdf")}
    with open(path["job.leeward"], "w", encoding="utf-8") as file:
        json.dump(JOB, file)
    parts = json.loads(run("inspect", path["job.leeward"], "--json").stdout)["parts"]
    yield "the board comes in", [p["ref"] for p in parts] == ["U1"], str(parts)
    judged = json.loads(run("judge", path["job.leeward"], "--json").stdout)
    bake = [f for f in judged["findings"] if f["kind"] == "readiness-bake"]
    # J-STD-033: a level 3 part that lay open for a year is past its floor life of 168 h.
    yield "readiness asks for a bake", bool(bake) and "J-STD-033" in bake[0]["source"], str(bake)
    sought = run("seek", path["job.leeward"], "-o", path["better.leeward"])
    yield "a better plan is sought", sought.returncode in (0, 1) and os.path.exists(path["better.leeward"]), sought.stderr
    sheet = run("sheet", path["better.leeward"], "-o", path["sheet.pdf"])
    words = subprocess.run(["pdftotext", path["sheet.pdf"], "-"], capture_output=True, text=True).stdout
    yield "the sheet is printed", sheet.returncode in (0, 1) and "U1" in words and "U1 top" in words, sheet.stderr + words[:300]
    rows = write_run(path["run.csv"], path["true.leeward"])
    compared = run("compare", path["job.leeward"], path["run.csv"], "--json")
    yield "the run is laid over the plan", compared.returncode in (0, 1) and '"U1 top"' in compared.stdout, compared.stderr
    fitted = run("fit", path["job.leeward"], path["run.csv"], "-o", path["fitted.leeward"], "--sheet", path["fit.pdf"])
    yield "the run is fitted", fitted.returncode == 0 and os.path.exists(path["fitted.leeward"]), fitted.stdout + fitted.stderr
    words = subprocess.run(["pdftotext", path["fit.pdf"], "-"], capture_output=True, text=True).stdout
    yield "and what was found stands on a sheet", "U1 top" in words and "run" in words.lower(), words[:300]
    before, after = apart(path["job.leeward"], rows), apart(path["fitted.leeward"], rows)
    print(f"# {before:.2f} K apart before the fit, {after:.2f} K after it")
    yield "the next prediction is nearer", before > 1.5 and after < 0.4 * before, f"{before} {after}"
    again = run("sheet", path["fitted.leeward"], "-o", path["sheet2.pdf"])
    yield "and has its sheet", again.returncode in (0, 1) and os.path.getsize(path["sheet2.pdf"]) > 1000, again.stderr


def main():
    number = failed = 0
    with tempfile.TemporaryDirectory() as folder:
        for name, good, why in checks(folder):
            number += 1
            failed += not good
            print(f"{'ok' if good else 'not ok'} {number} - {name}")
            if not good:
                print("\n".join("# " + line for line in why.splitlines()))
    print(f"1..{number}")
    return failed > 0


sys.exit(main())
