"""Where things stand in a text: told table by table, and the same as told of the text as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build.places import _whole, places

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").rglob("build.toml"))
ODD = {
    "a list that begins lines with brackets": "[a]\nlist = [\n[1, 2],\n[3, 4],\n]\nb = 1\n\n[c]\nd = 2\n",
    "a header in a text of many lines": '[a]\ntold = """\n[b]\nc = 1\n"""\n[d]\ne = 2\n',
    "a header in a plain text of many lines": "[a]\ntold = '''\n[b]\n'''\n[d]\ne = 2\n",
    "tables in a list": "[[a]]\nb = 1\n[a.c]\nd = 2\n[[a]]\nb = 3\n[a.c]\nd = 4\n",
    "a header that is a comment": "# [a]\n[b]\n#[c]\nd = 1\n",
    "brackets in texts and comments": '[a]\nb = "[" # ]\n[c]\nd = "]"\n',
    "nothing before the first header, nothing behind the last": "[a]\n[b]\n[c]",
    "keys before the first header": "a = 1\nb.c = 2\n\n[d]\ne = { f = [1, 2] }\n",
    "Windows line ends": "[a]\r\nb = 1\r\n\r\n[c]\r\nd = [1,\r\n2]\r\n",
}


@pytest.mark.parametrize("text", ODD.values(), ids=ODD)
def test_odd_texts(text):
    assert places(text) == list(_whole(text))


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.parent.name)
def test_the_examples(file: Path):
    text = file.read_text(encoding="utf-8")
    assert len(places(text)) > 100
    assert places(text) == list(_whole(text))
