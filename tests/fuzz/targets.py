"""The fuzz targets: where each takes its first inputs from (relative to the top of the tree) and how long inputs may
grow. Beside these every target has its folder in corpus/: what earlier runs found, and inputs that once failed."""

DATA = "tests/data/"
TARGETS = {
    "document": (["data/demo.leeward"], 65536),
    "parts": ([], 16384),
    "library": (["data/alloys.json", "data/laminates.json", "data/shields.json", "data/stations.json"], 65536),
    "idf": ([DATA + "idf_samples/*.em[np]", DATA + "ecc83_v2/*.em[np]", DATA + "interf_u/*.em[np]"], 65536),
    "ipc2581": ([], 65536),
    "gerber": ([DATA + "numpres/*.gbr", DATA + "*/gerber/*Edge_Cuts.gbr", DATA + "*/gerber/*pnp_bottom.gbr"], 65536),
    "gerber-job": ([DATA + "*/gerber/*.gbrjob"], 65536),
    "excellon": ([DATA + "*/drill/*.drl", DATA + "numpres/*.cnc"], 65536),
    "d356": ([DATA + "*/*.ipc"], 65536),
    "centroid": ([DATA + "centroid_variants/*.[cmt][snx][vt]", DATA + "*/*pos.csv", DATA + "*/*.pos", DATA + "numpres/*.xy"], 32768),
    "log": ([], 32768),
    "archive": ([], 65536),
}
