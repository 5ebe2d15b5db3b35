"""Browser contexts that are used again, each with its page: the next phone finds the program read and compiled.

A fresh context fetches and compiles some 230 modules, which costs more than most tests do. What the phone before had
stored is taken away first. What was changed for good, context or page, is closed instead of being used again. A page
beside the phone's own stays too: what equips a phone need not be read anew for each.
"""

from weakref import WeakKeyDictionary

from playwright.sync_api import Browser, BrowserContext, Error, Page

_STORED = "cookies,indexeddb,local_storage,cache_storage,service_workers,websql,file_systems"
_FOR_GOOD = (
    "add_init_script", "expose_binding", "expose_function", "grant_permissions", "on", "once", "route",
    "route_from_har", "route_web_socket", "set_default_timeout", "set_extra_http_headers", "set_geolocation",
)  # fmt: skip
_PAGE_FOR_GOOD = (
    "add_init_script", "emulate_media", "expose_binding", "expose_function", "on", "once", "route", "route_from_har",
    "route_web_socket", "set_default_timeout", "set_extra_http_headers", "set_viewport_size",
)  # fmt: skip
_pools: WeakKeyDictionary[Browser, dict[tuple, list[BrowserContext]]] = WeakKeyDictionary()
_workbenches: WeakKeyDictionary[BrowserContext, Page] = WeakKeyDictionary()


def take_phone(browser: Browser, origin: str, **options) -> tuple[BrowserContext, Page]:
    """Return a context with these options and its page; nothing of `origin` is stored in it.

    `context.page_errors` has the texts of what its pages did not catch.
    """
    kind = _kind(origin, options)
    free = _pools.setdefault(browser, {}).setdefault(kind, [])
    context = free.pop() if free else _new_context(browser, kind, options)
    context.page_errors = []
    page = next((page for page in context.pages if page is not _workbenches.get(context)), None) or _new_page(context)
    session = context.plain_session(page)
    session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": _STORED})
    session.detach()
    return context, page


def workbench(context: BrowserContext, origin: str) -> Page:
    """Return the page beside the phone's own, which has its storage and none of its screens."""
    page = _workbenches.get(context)
    if page is None:
        page = _workbenches[context] = context.new_page()
        page.goto(f"{origin}/tests/run.html")
    return page


def give_back(context: BrowserContext) -> None:
    """Keep it for the next phone, with one page, or close what does not look like new any more."""
    if context.is_changed:
        context.close()
        return
    context.set_offline(False)
    own = [page for page in context.pages if page is not _workbenches.get(context)]
    for at, page in enumerate(own):
        if at > 0 or getattr(page, "is_changed", True) or not _is_emptied(page):
            page.close()
    _pools[context.browser][context.kind].append(context)


def _is_emptied(page: Page) -> bool:
    """End what runs in it; a page that has crashed cannot be used again."""
    try:
        page.goto("about:blank")
    except Error:
        return False
    return True


def _new_context(browser: Browser, kind: tuple, options: dict) -> BrowserContext:
    context = browser.new_context(**options)
    context.on("weberror", lambda error: context.page_errors.append(str(error.error)))
    context.kind, context.plain_session = kind, context.new_cdp_session
    context.new_cdp_session = lambda page: _change(page) or context.plain_session(page)
    _note_changes(context, _FOR_GOOD)
    return context


def _new_page(context: BrowserContext) -> Page:
    page = context.new_page()
    _note_changes(page, _PAGE_FOR_GOOD)
    return page


def _kind(origin: str, options: dict) -> tuple:
    return origin, repr(sorted(options.items()))


def _note_changes(thing: BrowserContext | Page, names: tuple[str, ...]) -> None:
    thing.is_changed = False
    for name in names:
        setattr(thing, name, _noting(thing, getattr(thing, name)))


def _noting(thing: BrowserContext | Page, change):
    def change_for_good(*arguments, **named):
        _change(thing)
        return change(*arguments, **named)

    return change_for_good


def _change(thing: BrowserContext | Page) -> None:
    thing.is_changed = True
