"""A real full disk: room that the phone takes for a moment, to make its reserve, breaks nothing off that it writes."""

import pytest
from static_server import serving

from tests.conftest import IN_CI
from tests.faults.small_disk import SmallDisk, can_mount
from tests.kept_profile import allow_keeping

TIMES = 10
_OPEN = """async () => {
  const { openPhone } = await import('/js/store/phone.js');
  globalThis.phone = await openPhone();
  phone.onChange(({ jobs }) => { if (jobs.length === 0) phone.check(); }); // as the first screen does
  return phone.health;
}"""
_NOTES = """async ([from, count]) => {
  const job = (await phone.jobIds())[0] ?? phone.newJob();
  for (let n = from; n < from + count; n += 1) {
    const body = { text: `note ${n} ` + 'x'.repeat(1500) };
    await phone.save({ job, kind: 'note-written', slot: null, after: [], body, by: 'Iris Vance' });
  }
}"""
# What was broken off is noted in localStorage before anything else is done; `broken` counts that.
_BESIDE_EACH_OTHER = """async (times) => {
  const { setItem } = Storage.prototype;
  const seen = { broken: 0, refused: [], written: 0 };
  Storage.prototype.setItem = function watched(name, text) {
    if (name.includes('torn')) seen.broken += 1;
    return setItem.call(this, name, text);
  };
  for (let time = 0; time < times; time += 1) {
    let isOver = false;
    const keeping = phone.keepReserve().finally(() => { isOver = true; });
    do {
      const typed = 'y'.repeat(3000) + seen.written;
      await phone.saveDraft('note', typed).then(() => { seen.written += 1; }, ({ code }) => seen.refused.push(code));
    } while (!isOver && seen.refused.length === 0);
    await keeping;
    await new Promise((resolve) => setTimeout(resolve, 120)); // until room that was seen is not trusted any more
  }
  return { ...seen, isTight: phone.isTight };
}"""
_HELD = """async () => {
  const entries = await Promise.all((await phone.jobIds()).map((job) => phone.entries(job)));
  return [entries.flat().map(({ entry, body }) => (body ?? entry.body).text.split(' x')[0]).sort(), phone.lost];
}"""


@pytest.fixture
def disk(tmp_path):
    if not can_mount():
        say = pytest.fail if IN_CI else pytest.skip
        say("no disk of its own can be mounted here: run the tests as root on Linux, with CAP_SYS_ADMIN")
    with SmallDisk(tmp_path / "disk") as disk:
        yield disk


def test_the_reserve_that_is_looked_for_breaks_no_write_off(chromium, launch_options, disk):
    profile = disk.folder / "profile"
    with serving() as server:
        allow_keeping(profile, server.origin)

        def start():
            context = chromium.launch_persistent_context(profile, **launch_options)
            page = context.pages[0]
            page.goto(f"{server.origin}/tests/run.html")
            assert page.evaluate(_OPEN) == {"ok": True}
            return context, page

        context, page = start()
        page.evaluate("phone.keepReserve()")
        page.evaluate(_NOTES, [0, 4])
        disk.fill()
        page.evaluate(_NOTES, [4, 3])  # in the room of the reserve, which is given up
        context.close()
        context, page = start()
        seen = page.evaluate(_BESIDE_EACH_OTHER, TIMES)
        assert (seen["broken"], seen["refused"], seen["isTight"]) == (0, [], True), seen
        assert seen["written"] >= TIMES
        context.close()
        disk.make_room()
        context, page = start()
        assert page.evaluate(_HELD) == [[f"note {n}" for n in range(7)], None]
        context.close()
