"""Bytes that find new ways through the reader and the path of the notes: guided by what they cover (atheris, libFuzzer).

    python tests/fuzz/guided.py (reader | notes) SECONDS FOUND

The right files and their words are where it begins. What fails is written to FOUND, and the run ends with something else than 0.
Where atheris cannot be installed for this Python it says so and ends with 0: long.py then looks alone.
"""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

try:
    import atheris
except ImportError:
    print("atheris is not installed for this Python: nothing guided was tried")
    sys.exit(0)

with atheris.instrument_imports(include=["builder.movement", "markdown", "tomllib", "html"]):
    from tests.fuzz.reading import harmless, reads
    from tests.fuzz.texts import MARKS, NOTES, RIGHT


def of_bytes(data: bytes) -> None:
    """Any bytes as a movement file."""
    reads(data)


def of_text(data: bytes) -> None:
    """Any text as notes."""
    harmless(data.decode("utf-8", "replace"))


def words(text: str) -> set[str]:
    """What may be put together anew."""
    return set(re.findall(r"[\w.]+|[^\w\s]+", text))


def escaped(word: str) -> str:
    """As libFuzzer's list of words has it."""
    return "".join(f"\\x{byte:02x}" for byte in word.encode())


def main() -> None:
    target, seconds, found = sys.argv[1], int(sys.argv[2]), Path(sys.argv[3])
    found.mkdir(parents=True, exist_ok=True)
    begun = {"reader": RIGHT, "notes": [*NOTES, *MARKS]}[target]
    with tempfile.TemporaryDirectory() as folder:
        corpus = Path(folder, "corpus")
        corpus.mkdir()
        for number, text in enumerate(begun):
            (corpus / str(number)).write_text(text, "utf-8")
        known = set().union(*map(words, [*begun, *MARKS]))
        lines = [f'"{escaped(word)}"' for word in sorted(known) if len(word) < 60]
        Path(folder, "words").write_text("\n".join(lines) + "\n")
        limits = [f"-max_total_time={seconds}", "-timeout=30", "-max_len=20000", "-rss_limit_mb=4096", "-print_final_stats=1"]
        command = [sys.argv[0], *limits, f"-dict={folder}/words", f"-artifact_prefix={found}/{target}-", str(corpus)]
        atheris.Setup(command, of_bytes if target == "reader" else of_text, enable_python_coverage=True)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
