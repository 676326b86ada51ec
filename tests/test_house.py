"""The house rules that no reviewer should have to look after."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
CODE = {".py", ".html", ".css", ".js", ".yaml"}
LONGEST = 300  # lines; most files stay under 150

# Pieced together, so that this file does not hold what it looks for. Where packages come from is the
# business of whoever installs them, and so is the folder they work in.
ELSEWHERE = [
    r"pypi\.(org|python)",
    r"python" + r"hosted\.",
    r"npm" + r"js\.",
    r"deb\.debian\." + r"org",
    r"jsdelivr" + r"\.|unpkg" + r"\.|cdn" + r"js\.",
    r"(?<![\w.}])/work" + r"/",
    r"(?<![\w.}])/(home|root)" + r"/\w",
]


def tracked() -> list[Path]:
    """Every file that a clone brings."""
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True, text=True)
    return [path for name in listing.stdout.split("\0") if name and (path := ROOT / name).is_file()]


def test_imports_point_down_only():
    program = Path(sys.executable).parent / "lint-imports"
    looked = subprocess.run([program, "--no-cache", "--no-logo"], cwd=ROOT, capture_output=True, text=True)
    assert looked.returncode == 0, looked.stdout + looked.stderr


@pytest.mark.parametrize("pattern", ELSEWHERE)
def test_no_file_names_a_place_of_the_outside(pattern):
    naming = [path for path in tracked() if re.search(pattern, path.read_text(errors="replace"))]
    assert not naming


def test_every_module_says_what_it_holds():
    written = [path for path in tracked() if path.suffix == ".py" and "migrations" not in path.parts]
    modules = [path for path in written if path.read_text().strip()]
    assert not [path for path in modules if ast.get_docstring(ast.parse(path.read_text())) is None]


def test_every_file_can_be_read_to_its_end():
    code = [path for path in tracked() if path.suffix in CODE and "migrations" not in path.parts]
    lengths = {path: len(path.read_text().splitlines()) for path in code}
    assert not {path: length for path, length in lengths.items() if length > LONGEST}
