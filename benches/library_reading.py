"""One library reading one scan, as a process of its own: prints one JSON object.

    python library_reading.py LIBRARY FILE

trimesh is asked twice: for the bare triangles, and with equal corners made one as here.
"""
import importlib.metadata
import json
import sys
import time

library, path = sys.argv[1:]
if library == "libigl":
    import igl

    start = time.perf_counter()
    made = igl.readSTL(path) if path.endswith(".stl") else igl.read_triangle_mesh(path)
    faces = made[1]
elif library == "meshio":
    import meshio

    start = time.perf_counter()
    faces = meshio.read(path).cells_dict["triangle"]
else:
    import trimesh

    start = time.perf_counter()
    faces = trimesh.load(path, process=library.endswith("merged"), force="mesh").faces
seconds = time.perf_counter() - start
version = importlib.metadata.version(library.split()[0])
print(json.dumps({"read_s": seconds, "triangles": len(faces), "version": version}))
