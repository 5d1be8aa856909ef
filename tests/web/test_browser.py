"""The page in a real browser: answers large and apart, contrast, nothing cut off, small phones, large text."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from coldiron.web.desk import READ
from support.browser import PROGRAM, Browser
from support.sizes import THOROUGH, size

pytestmark = [
    pytest.mark.outside_program,
    pytest.mark.skipif(PROGRAM is None and not THOROUGH, reason="chromium is not installed"),
]

LOW = 72
"""px that an answer is high at least: 19 mm at 96 px an inch, for gloves; WCAG 2.2, 2.5.5 asks for 44."""

APART = 12
"""px between two answers."""

CONTRAST = 7.0
"""WCAG 2.2, success criterion 1.4.6."""

MEASURED = """
(() => {
  const seen = e => e.checkVisibility();
  const all = [...document.querySelectorAll('button, .tick, summary, select, .field input')].filter(seen);
  const boxes = all.map(e => [e.textContent.trim().slice(0, 20), e.getBoundingClientRect()]);
  const low = boxes.filter(([, b]) => b.height < LOW).map(([t]) => t);
  const close = [];
  boxes.forEach(([t, a], i) => boxes.slice(i + 1).forEach(([u, b]) => {
    const gap = Math.max(a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
    if (gap < APART - 0.1) close.push([t, u, gap]);
  }));
  const part = v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  const light = c => {
    const [r, g, b] = c.match(/[\\d.]+/g).map(v => part(v / 255));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const own = e => getComputedStyle(e).backgroundColor;
  const back = e => !e ? 'rgb(255, 255, 255)' : own(e) === 'rgba(0, 0, 0, 0)' ? back(e.parentElement) : own(e);
  const faint = [];
  for (const e of [...document.querySelectorAll('main *')].filter(seen)) {
    if (![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())) continue;
    const [a, b] = [light(getComputedStyle(e).color), light(back(e))];
    const ratio = (Math.max(a, b) + .05) / (Math.min(a, b) + .05);
    if (ratio < CONTRAST) faint.push([e.textContent.trim().slice(0, 20), ratio]);
  }
  const wide = document.documentElement.scrollWidth - WIDTH;
  const over = all.filter(e => e.scrollWidth > e.clientWidth + 1 && e.tagName !== 'INPUT');
  const cut = over.map(e => e.textContent.trim().slice(0, 20));
  return { low, close, faint, cut, wide: Math.max(0, wide), count: boxes.length };
})()
"""
"""What is wrong on a page; luminance and contrast as WCAG 2.2 defines them."""


@pytest.fixture
def link(tmp_path: Path) -> Iterator[str]:
    """The first link of a page that is served by the command, as a user starts it."""
    environment = os.environ | {"COLDIRON_HOME": str(tmp_path), "PYTHONUNBUFFERED": "1"}
    command = [sys.executable, "-m", "coldiron", "serve", "--new", "Roller <4>", "--port", "0"]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as served:
        assert served.stdout is not None
        found = re.search(r"http\S+", served.stdout.readline())
        assert found is not None
        yield found[0]
        served.send_signal(signal.SIGINT)
        told = served.stdout.read()
        assert served.wait(20) == 0
    assert "All answers are kept" in told


def measure(browser: Browser) -> None:
    """Hold the page against the sizes, on two phones and with text twice as large."""
    script = MEASURED.replace("LOW", str(LOW)).replace("APART", str(APART)).replace("CONTRAST", str(CONTRAST))
    for width, text in ((360, "100%"), (320, "100%"), (320, "200%")):
        browser.size(width, 740)
        browser.run(f"document.documentElement.style.fontSize = '{text}'")
        found = browser.run(script.replace("WIDTH", str(width)))
        assert found.pop("count") > 1
        assert found == {"low": [], "close": [], "faint": [], "cut": [], "wide": 0}, browser.run(
            "document.body.innerText"
        )
    browser.run("document.documentElement.style.fontSize = ''")


def answer(browser: Browser) -> str:
    """Answer the page as a thumb would; what sort of page it was."""
    if browser.run("!!document.querySelector('.confirm')"):
        tall = browser.run(
            "[...document.querySelectorAll('.confirm button')].map(b => b.getBoundingClientRect().width)"
        )
        assert len(set(tall)) == 1
        browser.run("document.querySelectorAll('[name=seen]').forEach(e => e.checked = true)")
        time.sleep(READ)
        browser.press("document.querySelector('.confirm button')")
        return "caution"
    if browser.run("!!document.querySelector('[name=pick]')"):
        browser.run("[...document.querySelectorAll('[name=pick]')].pop().checked = true")
        browser.press("document.querySelector('form:has([name=pick]) button')")
        return "several"
    if browser.run("!!document.querySelector('[name=unit]')"):
        browser.run("document.querySelector('.field input').value = '12.5'")
        browser.press("document.querySelector('[name=unit]')")
        return "reading"
    browser.press("document.querySelector('form:not(.row) button[name=line]')")
    return "choice"


def test_every_page_can_be_answered_with_gloves_and_read_in_the_sun(link: str) -> None:
    """From the link on, each page measured: 360 and 320 px, and 320 px with text at 200 %."""
    with Browser() as browser:
        browser.size(360, 740)
        browser.go(link)
        browser.press("document.querySelector('button')")
        met = set()
        for _ in range(size(7, 25, 40)):
            measure(browser)
            met.add(answer(browser))
        browser.press("document.querySelector('button[value=why]')")
        measure(browser)
        browser.press("document.querySelector('form[action=\"/another\"] button')")
        assert browser.run("document.querySelectorAll('svg rect').length") > 300
        assert {"several", "choice", "caution"} <= met
