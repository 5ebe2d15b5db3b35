"""How much processor time each tap takes until its answer is painted, read from a trace of Chromium.

The time is that of the page's main thread (`tdur`, in us): waiting for a busy processor is not in it. A tap begins with
its `pointerdown`; a hold, which is pressed for longer, begins with the frame in which it is filled. Its answer is
painted in the first frame after it, as given; once it is saved the sheet is drawn anew, and that frame ends the tap.
What the driver of the page does meanwhile is left out.
"""

import json
from dataclasses import dataclass, field

CATEGORIES = ["toplevel", "devtools.timeline", "disabled-by-default-devtools.timeline", "blink.user_timing"]
# Marks in the trace: which tap it was, that something is saved, that the page has changed.
MARKS = """
const mark = (text) => performance.mark(text);
addEventListener('pointerdown', ({ target }) => {
  const key = target.closest('[data-key]')?.dataset.key ?? target.tagName;
  const cell = key.match(/^(key|way)-/) && document.querySelector('label.cell.framed [data-key]')?.dataset.key;
  mark(`tap ${location.hash.split('/')[4] ?? ''} ${key}${cell ? ` of ${cell}` : ''}`);
}, true);
const transaction = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (stores, mode, ...more) {
  if (mode === 'readwrite' && ['entries', 'outbox'].every((name) => [stores].flat().includes(name))) mark('saving');
  return transaction.call(this, stores, mode, ...more);
};
new MutationObserver(() => mark('changed'))
  .observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
"""
_WORK = ("EventDispatch", "FunctionCall", "UpdateLayoutTree", "Layout", "PrePaint", "Paint", "Layerize", "Commit")
_DRIVER_TASK = "blink.mojom.DevToolsSession"


@dataclass
class _Node:
    name: str
    args: dict
    start: int
    end: int
    tdur: int
    children: list["_Node"] = field(default_factory=list)

    def walk(self):
        yield self
        for child in self.children:
            yield from child.walk()


@dataclass(frozen=True)
class Tap:
    """One tap: the row or key that was tapped, and ms of the main thread.

    `first_ms` until the first frame after it, which paints the answer; `ms` until the frame that paints what follows
    from it once it is saved; `parts` are those of `ms` by kind of work; `restyled` elements had their style found anew,
    `savings` were written: the same in every run.
    """

    name: str
    first_ms: float
    ms: float
    parts: dict[str, float]
    restyled: int
    savings: int


def read_taps(trace: bytes) -> list[Tap]:
    """Return the taps of a trace in their order."""
    events = [event for event in json.loads(trace)["traceEvents"] if event["ph"] in "XI"]
    first = next((event for event in events if event["name"].startswith("tap ")), None)
    if first is None:
        return []
    thread = first["pid"], first["tid"]
    events = [event for event in events if (event["pid"], event["tid"]) == thread]
    tasks = _tasks(events)
    marks = sorted((event["ts"], event["name"]) for event in events if event["cat"] == "blink.user_timing")
    starts = [(at, name) for at, name in marks if name.startswith("tap ")]
    spans = zip(starts, [at for at, _ in starts[1:]] + [float("inf")], strict=True)
    return [_tap(name.removeprefix("tap "), at, end, tasks, marks) for (at, name), end in spans]


def _tasks(events: list[dict]) -> list[_Node]:
    """Return the tasks of the thread, each with what it did within."""
    tasks, open_nodes = [], []
    for event in sorted((each for each in events if each["ph"] == "X"), key=lambda each: (each["ts"], -each["dur"])):
        node = _Node(
            event["name"], event.get("args", {}), event["ts"], event["ts"] + event["dur"], event.get("tdur", 0)
        )
        while open_nodes and node.start >= open_nodes[-1].end:
            open_nodes.pop()
        if open_nodes:
            open_nodes[-1].children.append(node)
        elif node.name == "RunTask":
            tasks.append(node)
        open_nodes.append(node)
    return tasks


def _tap(name: str, at: int, end: float, tasks: list[_Node], marks: list[tuple[int, str]]) -> Tap:
    own = [(ts, mark) for ts, mark in marks if at <= ts < end]
    is_hold = name.partition(" ")[2].startswith("hold-")
    if is_hold:
        at = _filled(at, next((ts for ts, mark in own if mark == "saving"), at), tasks)
    saved = max((ts for ts, mark in own if mark == "saving"), default=None)
    changed = at if saved is None else next((ts for ts, mark in own if mark == "changed" and ts > saved), saved)
    parts: dict[str, float] = {}
    restyled, first = 0, None
    is_heard = is_hold
    for task in (each for each in tasks if each.end > at and each.start < end):
        if not _is_drivers(task):
            _add(task, parts)
            restyled += sum(node.args.get("elementCount", 0) for node in task.walk() if node.name == "UpdateLayoutTree")
        is_heard = is_heard or any(_type_of(node) in ("click", "pointerup") for node in task.walk())
        if is_heard and _paints(task):
            first = first or sum(parts.values())
            if task.end > changed:
                break
    whole = sum(parts.values())
    savings = sum(mark == "saving" for _, mark in own)
    return Tap(
        name, (first or whole) / 1000, whole / 1000, {kind: us / 1000 for kind, us in parts.items()}, restyled, savings
    )


def _filled(at: int, saving: int, tasks: list[_Node]) -> int:
    """Return when the frame began in which a pressed hold was filled: the last one before it was saved."""
    return max((task.start for task in tasks if at <= task.start < saving and _paints(task)), default=at)


def _type_of(node: _Node) -> str | None:
    return node.args.get("data", {}).get("type") if node.name == "EventDispatch" else None


def _paints(task: _Node) -> bool:
    return any(node.name == "Commit" for node in task.walk())


def _is_drivers(task: _Node) -> bool:
    heard = (node.args.get("chrome_mojo_event_info", {}) for node in task.walk())
    return any(each.get("mojo_interface_tag") == _DRIVER_TASK for each in heard)


def _add(node: _Node, parts: dict[str, float], kind: str = "other") -> None:
    """Add the time of each node, without that of its children, to the kind of work that it belongs to."""
    if node.name == "FunctionCall" and not node.args.get("data", {}).get("url", "").startswith("http"):
        for child in node.walk():  # the driver's function; the layout that it forces is due all the same
            if child.name in ("UpdateLayoutTree", "Layout"):
                _add(child, parts)
        return
    kind = node.name if node.name in _WORK else kind
    parts[kind] = parts.get(kind, 0) + node.tdur - sum(child.tdur for child in node.children)
    for child in node.children:
        _add(child, parts, kind)
