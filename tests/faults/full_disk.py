"""The real application on a disk that runs full: what survives, and whether the screens said so truly.

One run: work that is sent, then work that waits, then the disk is full and more is typed. `full`: the browser is
closed, opened on the full disk, then with room. `filling`: the same, and what is given back is taken again. `fuller`:
as `filling`, but the last room goes bit by bit while notes and photos are written. `freed`: room is made while the
program runs. Then work goes on, the browser is opened twice more, and the network comes last.
"""

import base64
import contextlib
import io
import os
import random
import re
from pathlib import Path

from app_driver import PHONE_SIZE, AppDriver, open_app
from PIL import Image
from playwright.sync_api import Error, expect

from tests.faults.disk_run import SENT, Look, Run
from tests.faults.small_disk import SmallDisk
from tests.kept_profile import allow_keeping
from tests.live_server import LiveServer

WAYS = ("full", "filling", "fuller", "freed")
_LIMIT_MS = 60_000
_READY_MS = 200_000  # before the disk is full; a busy machine is slow, not wrong
_DONE = re.compile(f"{SENT}|Nothing waits to be sent")
_NOTE = "note {} " + "x" * 1500  # long enough that a full disk does not still take many
# Past the program, and without making a database where there is none. A full disk may never answer: then that is found.
_CONTENTS = """async (job) => {
  const found = { notes: null, photos: null, files: 0, why: '' };
  const within = (promise, what) => Promise.race([promise, new Promise((_, reject) => {
    setTimeout(() => reject(new Error(`expected within 60 s: ${what}`)), 60_000);
  })]);
  const countFiles = async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith('tapermark-')) found.files += (await (await caches.open(name)).keys()).length;
    }
  };
  try {
    await within(countFiles(), 'the files of the program');
  } catch (error) {
    found.why = `${error}`; // not all of them could be counted
  }
  try {
    const names = await within(indexedDB.databases(), 'the names of the databases');
    if (!names.some(({ name }) => name === 'tapermark')) return found;
    const answer = (request, what) => within(new Promise((resolve, reject) => {
      const onblocked = () => reject(new Error(`${what}: blocked by an older one that is open`));
      const onsuccess = () => resolve(request.result);
      Object.assign(request, { onsuccess, onblocked, onerror: () => reject(request.error) });
    }), what);
    const database = await answer(indexedDB.open('tapermark'), 'the database');
    const t = database.transaction(['entries', 'photos']);
    const [entries, photos] = await Promise.all([
      answer(t.objectStore('entries').getAll(), 'the entries'),
      answer(t.objectStore('photos').getAllKeys(), 'the names of the photos'),
    ]);
    const notes = entries.filter(({ entry }) => entry.job === job && entry.kind === 'note-written');
    found.notes = notes.map(({ entry }) => entry.body.text);
    found.photos = photos;
    database.close();
  } catch (error) {
    found.why = `${error}`; // nothing of it can be read
  }
  return found;
}"""
_SAVE_PHOTO = """async ([job, base64]) => {
  const { openPhone } = await import('/js/store/phone.js');
  const { sha256Hex } = await import('/js/store/photos.js');
  const bytes = Uint8Array.from(atob(base64), (character) => character.charCodeAt(0)).buffer;
  const [sha256, mime] = [await sha256Hex(bytes), 'image/jpeg'];
  const body = { sha256, mime, bytes: bytes.byteLength, width: 300, height: 300, about: 'witness', caption: '' };
  const content = { job, kind: 'photo-attached', slot: null, after: [], body, by: 'Iris Vance' };
  await (await openPhone()).save({ ...content, photo: { bytes, mime, sha256 } });
  return sha256;
}"""
_PLACE_OR_ALARM = """(place) => document.getElementById('main')?.dataset.place === place
  || document.querySelector('[role=alert]:not(:empty), [data-key=technician]') !== null"""
_NOTE_OR_ALARM = """(text) => {
  const lines = [...document.querySelectorAll('[data-key=notes] li')];
  if (lines.some((line) => line.innerText.startsWith(text))) return 'saved';
  return document.querySelector('[data-key=not-saved]')?.innerText;
}"""
_CAME_MS = 900  # what came under the finger just now takes no tap
_WHOLE = "() => performance.getEntriesByName('whole-program-here').length"
_LOOKED = "() => !document.querySelector('[data-key=ready]')?.innerText.startsWith('Looking')"
_SAID = "() => ['top', 'main', 'bar'].map((id) => document.getElementById(id).innerText).join('\\n')"


# wait_for_function takes the promise of an async condition for its truth, so this one waits by itself
_RESERVE_IS_WHOLE = """async () => {
  const limit = performance.now() + 60_000;
  while ((await (await caches.open('tapermark.reserve')).keys()).length < 12) {
    if (performance.now() > limit) throw new Error('expected a reserve of 12 pieces on the disk within 60 s');
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}"""


class FullDisk:
    """One run; `server` runs at its start and at its end."""

    def __init__(self, chromium, options: dict, folder: Path, server: LiveServer, seed: int = 0):
        self._chromium, self._options, self._server = chromium, options, server
        self._disk = SmallDisk(folder)
        self._profile = folder / "profile"
        self._chance = random.Random(seed)
        self._context = None
        self._app: AppDriver | None = None

    def run(self, kept: bool, way: str) -> Run:
        self._made = Run(kept, way)
        with self._disk:
            if kept:
                allow_keeping(self._profile, self._server.url)
            try:
                self._work()
                self._fill(way)
                self._after(way)
                self._back_at_the_shop()
            finally:
                self._close()
                self._disk.make_room()
        return self._made

    def _work(self) -> None:
        """Something that is sent, then something that waits."""
        self._launch()
        self._app = open_app(self._context, self._server.url)
        self._app.wait_ready(_READY_MS)
        assert self._app.page.evaluate("navigator.storage.persisted()") == self._made.kept
        self._job = self._app.new_job()
        assert self._note(), self._made.refused
        self._photo()
        self._show("#/")
        expect(self._app.key("unsent")).to_have_text(SENT, timeout=_READY_MS)
        self._made.files = self._app.page.evaluate(_CONTENTS, self._job)["files"]
        self._app.page.evaluate(_RESERVE_IS_WHOLE)
        self._server.stop()
        for _ in range(3):
            assert self._note()
        self._photo()

    def _fill(self, way: str) -> None:
        self._app.page.wait_for_timeout(self._chance.uniform(0, 6000))  # localStorage goes to the disk after a while
        if way == "fuller":
            self._work_while_it_fills()
        else:
            self._disk.fill() if way != "filling" else self._disk.keep_filling()
        for _ in range(3):
            if not self._note():
                break
        self._look("full")

    def _work_while_it_fills(self) -> None:
        room = self._chance.randint(1_000_000, 12_000_000)
        self._disk.keep_filling(room, a_second=self._chance.choice((300_000, 1_000_000)))
        while not self._disk.is_full():
            self._note()
            try:
                self._photo()
            except Error as error:
                self._made.refused.append(f"photo: {str(error).splitlines()[0]}")

    def _after(self, way: str) -> None:
        if way != "freed":
            self._close()
            self._start("restarted, still full")
            self._close()
            self._disk.make_room()
            self._start("restarted, with room")
        else:
            self._disk.make_room()
        for _ in range(2):
            self._note()
        self._look("worked on")
        for when in ("restarted", "restarted twice"):
            self._close()
            self._start(when)

    def _back_at_the_shop(self) -> None:
        self._server.start()
        self._close()
        self._start("at the shop")
        if self._app:
            self._app.page.evaluate("dispatchEvent(new Event('online'))")
            expect(self._app.key("unsent")).to_contain_text(_DONE, timeout=_LIMIT_MS)
        page = self._context.new_page()
        entries = page.request.get(f"{self._server.url}/api/jobs/{self._job}/entries").json()["entries"]
        self._made.notes_at_shop = [e["body"]["text"] for e in entries if e["kind"] == "note-written"]
        for name in self._made.photos:
            if page.request.get(f"{self._server.url}/api/photos/{name}").status == 200:
                self._made.photos_at_shop.append(name)

    # One thing at a time

    def _note(self) -> bool:
        """Write a note as a person does; tell whether it was shown as saved."""
        app, text = self._app, _NOTE.format(len(self._made.saved) + len(self._made.refused))
        if app is None:
            return False
        self._show(f"#/job/{self._job}/sheet/vehicle")
        try:
            if not app.shows("sheet-list"):
                app.key("menu").click(timeout=5000)
                app.page.wait_for_timeout(_CAME_MS)
            if app.key("notes").get_attribute("open", timeout=5000) is None:
                app.key("notes").locator("summary").click(timeout=5000)
                app.page.wait_for_timeout(_CAME_MS)
            app.key("note").fill(text, timeout=5000)
            app.key("keep-note").scroll_into_view_if_needed(timeout=5000)
            app.page.wait_for_timeout(_CAME_MS)
            app.key("keep-note").click(timeout=5000)
            said = app.page.wait_for_function(_NOTE_OR_ALARM, arg=text, timeout=20_000).json_value()
        except Error as error:
            self._made.refused.append(f"no way to type it: {str(error).splitlines()[0]}")
            return False
        if said != "saved":
            self._made.refused.append(said)
            return False
        self._made.saved.append(text)
        return True

    def _photo(self) -> None:
        picture = Image.frombytes("RGB", (300, 300), os.urandom(270_000))
        data = io.BytesIO()
        picture.save(data, "JPEG", quality=90)
        name = self._app.page.evaluate(_SAVE_PHOTO, [self._job, base64.b64encode(data.getvalue()).decode()])
        self._made.photos.append(name)

    def _show(self, place: str) -> None:
        page = self._app.page
        page.evaluate("place => { location.hash = place; }", place)
        try:
            page.wait_for_function(_PLACE_OR_ALARM, arg=place, timeout=15_000)
            if place == "#/" and self._app.shows("technician"):
                self._app.fill("technician", "Iris Vance")
                self._app.key("keep-name").click(timeout=5000)
                page.wait_for_function("() => document.getElementById('main').dataset.place === '#/'", timeout=10_000)
            page.wait_for_timeout(1500)  # what is looked at after the first drawing is drawn then
        except Error:
            pass  # what stands there is what is looked at

    def _look(self, when: str) -> None:
        if self._app is None:
            return
        self._show("#/")
        page = self._app.page
        with contextlib.suppress(Error):  # what the phone says of itself is known once it has looked
            page.wait_for_function(_LOOKED, timeout=30_000)
        self._found(when, page.evaluate(_SAID), **page.evaluate(_CONTENTS, self._job))

    def _found(self, when: str, words: str | None, **contents) -> None:
        self._made.looks.append(Look(when, len(self._made.saved), words, **contents))

    def _start(self, when: str) -> None:
        """Open the program as it is on the disk, and look; where it does not come, that is what is found."""
        self._launch()
        page = self._context.pages[0]
        try:
            page.goto(self._server.url)
            page.wait_for_selector("#main[data-place], [role=alert]:not(:empty)")
        except Error as error:
            self._app = None
            self._found(when, None, why=str(error).splitlines()[0])
            return
        with contextlib.suppress(Error):  # what stands there without the rest of the program is what is looked at
            page.wait_for_function(_WHOLE, timeout=20_000)
        self._app = AppDriver(page)
        self._look(when)

    def _launch(self) -> None:
        looks = {"viewport": PHONE_SIZE, "locale": "en-GB"}
        self._context = self._chromium.launch_persistent_context(self._profile, **looks, **self._options)
        self._context.set_default_timeout(_LIMIT_MS)

    def _close(self) -> None:
        if self._context:
            self._context.close()
        self._context = None
