#!/usr/bin/env python3
"""Pages in a real browser: light, dark, on a phone, printed.

browser.py FOLDER opens every page of the folder in headless Chromium without any network. It ends with an error where
the browser has a word to say, a page asks for anything, holds a script, is wider than its window, does not follow the
dark ground, or prints the head of a table or a heading at the foot of a sheet. The phone is a frame that is proven to be
390 wide by its own innerWidth.
"""
import html
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

PHONE = 390
WIDE = 1000
FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--host-resolver-rules=MAP * ~NOTFOUND", "--enable-logging=stderr", "--allow-file-access-from-files",
    "--hide-scrollbars", f"--window-size={WIDE},1400",
]
# The one script is that of the frame around the pages; it looks into each and writes down what it sees.
FRAMES = """<!DOCTYPE html><meta charset=utf-8><title>frames</title><link rel=icon href="data:,">{frames}<pre id=seen></pre>
<script>addEventListener('load',()=>{{const seen=[];for(const f of document.querySelectorAll('iframe')){{
const w=f.contentWindow,d=w.document,r=d.documentElement;
const out=[...d.querySelectorAll('body *')].filter(e=>!e.closest('.table,svg')&&e.getBoundingClientRect().right>w.innerWidth+1)
.map(e=>e.tagName+'.'+e.className);
seen.push({{page:f.title,wanted:+f.width,inner:w.innerWidth,wide:r.scrollWidth,out:out.slice(0,3),scripts:d.scripts.length,
asked:w.performance.getEntriesByType('resource').map(e=>e.name).filter(n=>!n.startsWith('data:')),
ground:w.getComputedStyle(d.body).backgroundColor}});}}
document.getElementById('seen').textContent=JSON.stringify(seen);}});</script>"""


def chromium(work, *more):
    """Runs the browser; its output, and its words that a page caused."""
    profile = f"--user-data-dir={work / 'profile'}"
    ran = subprocess.run(["chromium", *FLAGS, profile, *more], capture_output=True, text=True, timeout=300, check=False)
    if ran.returncode != 0:
        sys.exit(f"chromium ended with {ran.returncode}: {ran.stderr[-2000:]}")
    return ran.stdout, [line for line in ran.stderr.splitlines() if ":CONSOLE" in line]


def look(work, pages, ground):
    """Every page in a wide and in a narrow frame, on one ground."""
    frames = "".join(
        f'<iframe title="{html.escape(page.stem)}" width={width} height=900 src="{page.as_uri()}"></iframe>'
        for page in pages for width in (WIDE - 60, PHONE))
    frame = work / "frames.html"
    frame.write_text(FRAMES.format(frames=frames))
    # 0 is dark, 1 light.
    dark = ["--blink-settings=preferredColorScheme=0"] if ground == "dark" else ["--blink-settings=preferredColorScheme=1"]
    out, words = chromium(work, *dark, "--virtual-time-budget=5000", "--dump-dom", frame.as_uri())
    seen = re.search(r'<pre id="seen">(.*?)</pre>', out, re.S)
    if not seen or not seen.group(1):
        sys.exit("the frames say nothing")
    return json.loads(html.unescape(seen.group(1))), words


def judge(seen, words, ground):
    """What is wrong with it, each in a sentence."""
    wrong = [f"{ground}: {word}" for word in words]
    for page in seen:
        where = f"{page['page']}, {ground}, {page['wanted']} wide"
        if page["inner"] != page["wanted"]:
            wrong.append(f"{where}: the frame is {page['inner']} wide")
        if page["wide"] > page["inner"] or page["out"]:
            wrong.append(f"{where}: it is {page['wide']} wide, {page['out']} stick out")
        if page["scripts"] or page["asked"]:
            wrong.append(f"{where}: {page['scripts']} scripts, asks for {page['asked']}")
        light = sum(map(int, re.findall(r"\d+", page["ground"])[:3])) > 384
        if light == (ground == "dark"):
            wrong.append(f"{where}: the ground is {page['ground']}")
    return wrong


def printed(work, page):
    """Headings and heads of tables that stand alone at the foot of a printed sheet, or that nothing was printed."""
    pdf = work / "page.pdf"
    _, words = chromium(work, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
    source = page.read_text()
    heads = [re.sub(r"<[^>]*>", " ", head) for head in re.findall(r"<(?:h2|th scope=\"col\")[^>]*>(.*?)</", source, re.S)]
    heads = {" ".join(html.unescape(head).split()) for head in heads}
    sheets = [sheet for sheet in text.split("\f") if sheet.strip()]
    wrong = [f"{page.stem}, print: {word}" for word in words]
    if not sheets:
        wrong.append(f"{page.stem}, print: nothing")
    for number, sheet in enumerate(sheets[:-1], 1):
        last = sheet.rstrip().splitlines()[-1]
        pieces = [piece.strip() for piece in re.split(r"\s{2,}", last.strip())]
        if pieces and all(piece in heads for piece in pieces):
            wrong.append(f"{page.stem}, print, sheet {number} ends with a head: {last.strip()}")
    return wrong


def main():
    pages = sorted(pathlib.Path(sys.argv[1]).resolve().glob("*.html"))
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        wrong = []
        for ground in ("light", "dark"):
            wrong += judge(*look(work, pages, ground), ground)
        if shutil.which("pdftotext"):
            for page in pages:
                wrong += printed(work, page)
        else:
            print("browser: pdftotext is not installed, so nothing is printed")
    for line in wrong:
        print(line)
    if wrong:
        sys.exit(1)
    print(f"browser: {len(pages)} pages in light, dark, {PHONE} wide and in print, no fault")


main()
