"""The page itself: the only file that knows the toolkit, which carries events and answers between browser and program.

The toolkit keeps the line to the browser, one state a tab, uploads and downloads. Form and results are plain HTML.
"""

from __future__ import annotations

import asyncio
import json
import socket
import threading
from collections.abc import Callable
from contextlib import suppress
from html import escape
from pathlib import Path
from typing import Any

from colletfea.cases import interrupts
from colletfea.cases.browser import form, markup, serve, tasks
from colletfea.cases.browser.guard import LARGEST, Guard
from colletfea.cases.browser.job import DONE, FAILED
from colletfea.cases.browser.serve import NotServed, Slot
from colletfea.cases.browser.tab import Tab
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.file import read_text
from colletfea.cases.stored import store

RECONNECT = 10.0  # seconds that a tab may be away before it is given up, and its work ended
BEAT = 0.2  # seconds between two looks at what is running
ICON = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16"><path d="M1 11h14M1 5l14 3v0L1 5zM4 2h6v3.500L4 4.500z" stroke="#1f2a33" fill="#9aa7b1"/></svg>'


def run(path: str | None, port: int | None, browser: bool, said: Callable[[str], None]) -> None:
    """Serve the page until it is interrupted; said gets its address. Raises NotServed, and CaseError for a file that can't be opened."""
    first = Tab()
    if path is None:
        first.example(examples.names()[0])
    else:
        first.open(read_text(path).encode(), path)
    slot, key = Slot(), serve.new_key()
    with serve.bound(port) as sock, interrupts.terminable(), suppress(KeyboardInterrupt):
        opened = serve.opener() if browser else None
        server = _server(key, sock, slot, lambda: _opened(path))
        address = f"http://{serve.HOST}:{sock.getsockname()[1]}/{key}"
        said(address)
        if opened:
            threading.Thread(target=opened, args=(address,), daemon=True).start()
        try:
            server.run(sockets=[sock])
        finally:
            slot.end()


def _opened(path: str | None) -> tuple[Tab, str | None]:
    """What a new tab begins with: the file as it stands now, or the first example where there is none or it can't be read."""
    tab = Tab()
    try:
        if path is not None:
            tab.open(read_text(path).encode(), path)
            return tab, path
    except CaseError:
        pass
    tab.example(examples.names()[0])
    return tab, None


def _server(key: str, sock: socket.socket, slot: Slot, begin: Callable[[], tuple[Tab, str | None]]) -> Any:
    try:
        import uvicorn
        from fastapi import FastAPI
        from nicegui import app, ui
    except ImportError as error:
        raise NotServed("The page needs the extra `page`: pip install 'colletfea[page]'.") from error

    @ui.page(f"/{key}")
    def build() -> None:
        Desk(slot, *begin()).build()

    app.on_shutdown(slot.end)
    around = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    ui.run_with(around, title="Tapered clamping sleeve", favicon=ICON, tailwind=False, reconnect_timeout=RECONNECT, show_welcome_message=False)
    config = uvicorn.Config(
        Guard(around, sock.getsockname()[1]), log_level="error", ws="wsproto", ws_max_size=LARGEST, timeout_graceful_shutdown=2, lifespan="on"
    )
    return uvicorn.Server(config)


class Desk:
    """One tab: takes what is typed and asked, and sends what follows from it."""

    def __init__(self, slot: Slot, tab: Tab, path: str | None) -> None:
        self.slot, self.tab, self.path = slot, tab, path
        self.serial, self.stopping, self.running_case = 0, False, None

    def build(self) -> None:
        """Put the page's parts in place."""
        from nicegui import ui

        here = Path(__file__).parent
        self.client = ui.context.client
        ui.add_head_html(f"<style>{(here / 'page.css').read_text(encoding='utf-8')}</style><style id='in-hand'></style>")
        ui.add_head_html(f"<script>{(here / 'page.js').read_text(encoding='utf-8')}</script>")
        ui.html(_frame(self.path is not None), sanitize=False)
        self.upload = ui.upload(on_upload=self.uploaded, auto_upload=True, max_file_size=LARGEST, on_rejected=lambda: self.say("The file is too large."))
        self.upload.props('accept=".toml" tabindex=-1')
        ui.on("typed", self.typed)
        ui.on("asked", self.asked)
        ui.timer(BEAT, self.look)
        self.client.on_delete(lambda: self.slot.end(self))

    async def typed(self, event: Any) -> None:
        """One control's text has changed; of several that wait, the last one is answered."""
        self.tab.type(str(event.args["key"]), str(event.args["text"]))
        self.serial = int(event.args["serial"])
        serial = self.serial
        await asyncio.sleep(0)
        if serial == self.serial:
            self.tab.compute()
            self.answer()

    async def uploaded(self, event: Any) -> None:
        """A file of the user's: its content is taken, its name only shown."""
        content = await event.file.read()
        self.upload.reset()
        self.load(lambda name: self.tab.open(content, name), str(event.file.name))

    def load(self, take: Callable[[str], None], name: str) -> None:
        """Take another case into the form, or say why it can't be."""
        try:
            take(name)
        except CaseError as error:
            return self.say(" ".join(error.faults))
        self.path = None
        self.fill()
        self.say(f"Opened {self.tab.name}.")

    def asked(self, event: Any) -> None:
        """A button was pressed."""
        what, given = str(event.args.get("what")), str(event.args.get("with"))
        self.serial = max(self.serial, int(event.args.get("serial") or 0))
        made = {
            "start": self.fill, "keep": self.keep, "save": self.save, "copy": self.copy, "stop": self.stop,
            "report": self.report, "parts": self.parts,
        }  # fmt: skip
        if what == "example":
            self.load(self.tab.example, given)
        elif what == "simulate":
            self.simulate(given)
        elif what in ("take", "drop"):
            getattr(self.tab, what)(given)
            self.fill()
        elif what in made:
            made[what]()

    def simulate(self, level: str) -> None:
        """Start the simulation of the form as it stands."""
        case = self.tab.shown.case
        if case is not None and level in ("quick", "default", "fine") and self.begin("a simulation", tasks.simulate, case, level):
            self.running_case = case

    def report(self) -> None:
        """Make the report of the simulation."""
        current = self.tab.current
        if current:
            self.begin("a report", tasks.report, current)

    def parts(self) -> None:
        """Make the parts of the form as it stands."""
        shown = self.tab.shown
        if shown.case is not None:
            self.begin("making the parts", tasks.parts, shown.case, self.tab.simulated or shown.hand)

    def begin(self, what: str, task: Callable[..., Any], *arguments: Any) -> bool:
        """Start work where nothing else runs; else say what does."""
        refused = self.slot.refusal(self)
        if refused:
            self.say(refused)
            return False
        self.stopping = False
        self.slot.begin(self, what, task, *arguments)
        self.say("")
        self.look()
        return True

    def stop(self) -> None:
        """Ask what runs for this tab to end."""
        if self.slot.job is not None and self.slot.owner is self:
            self.stopping = True
            self.slot.job.stop()

    def look(self) -> None:
        """See how far the work is, and take what it gave."""
        mine = self.slot.owner is self
        outcome = self.slot.finished(self)
        if outcome:
            self.take(self.slot.what, *outcome)
        if mine:
            self.state()

    def take(self, what: str, kind: str, value: Any) -> None:
        """The outcome of this tab's work."""
        if kind == FAILED:
            self.say(f"{what[:1].upper()}{what[1:]} failed: {value}")
        elif kind != DONE:
            self.say("Stopped; nothing was reached that could be kept.")
        elif what == "a simulation":
            self.tab.solve(value, self.running_case)
            other = "" if self.tab.simulated else "Simulated, but the form has changed since: its numbers are not shown beside others."
            self.say(value.message or other or "Simulated.")
            self.answer()
        else:
            ending = "-report.html" if what == "a report" else "-parts.zip"
            self.client.download(value, f"{self.tab.name}{ending}")
            self.say(f"Made {self.tab.name}{ending}.")

    def keep(self) -> None:
        """Keep the design beside."""
        self.say(self.tab.keep() or "")
        self.answer()

    def save(self) -> None:
        """Write into the file that the page was started with, unless it has changed since."""
        if self.path is None:
            return self.copy()
        text, kept = self.tab.saved()
        try:
            if read_text(self.path) != self.tab.text:
                return self.say(f"{Path(self.path).name} was changed by another program since it was opened. Nothing was written; download a copy.")
            store.write_text(Path(self.path), text)
        except (CaseError, OSError) as error:
            return self.say(f"Not saved: {' '.join(str(error).split())}")
        self.tab.text = text
        self.say(f"Saved {Path(self.path).name}{'' if kept else ', without the comments it had'}.")

    def copy(self) -> None:
        """Hand the case file to the browser."""
        text, kept = self.tab.saved()
        lost = self.tab.text is not None and not kept
        self.client.download(text.encode(), f"{self.tab.name}.toml")
        self.say(f"Wrote {self.tab.name}.toml{', without the comments of the opened one' if lost else ''}.")

    def fill(self) -> None:
        """Send the form's texts and all that follows."""
        self.send("fill", self.tab.values)
        self.answer()

    def answer(self) -> None:
        """Send what follows from the form as it stands."""
        tab, shown = self.tab, self.tab.shown
        faults: dict[str, list[str]] = {}
        for fault in shown.faults:
            faults.setdefault(fault.key, []).append(fault.at_field)
        free = faults.pop("", [])
        self.send("show", {
            "serial": self.serial, "drawing": markup.drawing(shown), "decision": markup.decision(shown, tab.simulated), "results": markup.results(shown, tab.simulated),
            "variants": markup.variants(tab.variants, shown, tab.values, tab.simulated), "faults": faults, "free": free,
            "beside": sorted({key for fault in shown.faults for key in fault.others}), "used": form.used(shown.case),
        })  # fmt: skip
        self.state()

    def state(self) -> None:
        """Send what runs and which buttons can be pressed."""
        job = self.slot.job if self.slot.owner is self else None
        self.send("state", {
            "running": job is not None, "fraction": job.fraction if job else 0, "text": "stopping" if self.stopping else job.text if job else "",
            "stopping": self.stopping, "case": self.tab.shown.case is not None, "simulated": bool(self.tab.simulated),
        })  # fmt: skip

    def say(self, sentence: str) -> None:
        """Send a sentence."""
        self.send("say", sentence)

    def send(self, function: str, value: Any) -> None:
        """Call one of the script's functions."""
        self.client.run_javascript(f"colletfea.{function}({json.dumps(value)})")


def _frame(given: bool) -> str:
    """The page without its numbers. given: there is a file to save into."""
    names = "".join(f'<option value="{escape(name)}">{escape(name.replace("_", " "))}</option>' for name in examples.names())
    save = '<button data-do="save">Save</button>' if given else ""
    return f"""
<header id="top"><div id="tools"><h1>Tapered clamping sleeve</h1><button data-do="open">Open</button>
<select id="example" aria-label="Open an example"><option value="">Examples</option>{names}</select>{save}<button data-do="copy">Download case</button>
<button data-do="keep" data-needs="case">Keep beside</button><button data-do="parts" data-needs="case">Parts</button>
<button data-do="report" data-needs="simulated">Report</button><span class="apart"></span>
<select id="level" aria-label="How fine the simulation is"><option value="quick">quick</option><option value="default" selected>normal</option><option value="fine">fine</option></select>
<button class="main" data-do="simulate" data-needs="case">Simulate</button></div>
<div id="bar" hidden><progress id="progress" max="1" value="0" aria-label="How far it is"></progress><span id="doing"></span><button id="stop" data-do="stop">Stop</button></div>
<div id="said" role="status"></div><div id="gone" role="alert"></div><div id="free" role="alert"></div></header>
<main id="sheet"><form id="form" aria-label="Case" onsubmit="return false">{markup.form_html()}</form>
<div id="side"><section id="decision" aria-label="Decision" aria-live="polite"></section><section id="drawing" aria-label="Section to scale"></section>
<section id="results" aria-label="Results"></section><section id="variants" aria-label="Designs kept beside"></section></div></main>"""
