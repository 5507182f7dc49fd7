"""Run every benchmark, or those named: `python -m benchmarks [linkage ...]`."""

import importlib
import pkgutil
import platform
import sys

import benchmarks

print(f"Python {platform.python_version()}, {platform.machine()}, best of three runs")
names = sys.argv[1:] or [
    m.name for m in pkgutil.iter_modules(benchmarks.__path__) if m.name not in ("__main__", "rows")
]
try:
    for name in names:
        print(f"\n{name}")
        for row in importlib.import_module(f"benchmarks.{name}").rows():
            print(f"  {row}", flush=True)
except KeyboardInterrupt:  # the rows that are done stand
    sys.stderr.write("\r\x1b[K" if sys.stderr.isatty() else "")
    print("\nStopped.", file=sys.stderr)
    sys.exit(130)
