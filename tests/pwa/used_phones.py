"""Browser contexts that are used again: the next phone finds the program in the browser's HTTP cache.

A fresh context fetches and compiles some 230 modules, which costs more than most tests do. What the phone before had
stored is taken away first; a context that was changed for good is closed instead of being used again.
"""

from weakref import WeakKeyDictionary

from playwright.sync_api import Browser, BrowserContext, Page

_STORED = "cookies,indexeddb,local_storage,cache_storage,service_workers,websql,file_systems"
_FOR_GOOD = (
    "add_init_script", "expose_binding", "expose_function", "grant_permissions", "route", "route_from_har",
    "route_web_socket", "set_default_timeout", "set_extra_http_headers", "set_geolocation",
)  # fmt: skip
_pools: WeakKeyDictionary[Browser, dict[tuple, list[BrowserContext]]] = WeakKeyDictionary()


def take_phone(browser: Browser, origin: str, **options) -> tuple[BrowserContext, Page]:
    """Return a context with these options and its one page; nothing of `origin` is stored in it."""
    kind = _kind(origin, options)
    free = _pools.setdefault(browser, {}).setdefault(kind, [])
    if not free:
        context = browser.new_context(**options)
        context.kind, context.is_changed = kind, False
        for name in _FOR_GOOD:
            setattr(context, name, _noting(context, getattr(context, name)))
        return context, context.new_page()
    context = free.pop()
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": _STORED})
    session.detach()
    return context, page


def give_back(context: BrowserContext) -> None:
    """Close its pages and keep it for the next phone, or close it where it does not look like a new one any more."""
    if context.is_changed:
        context.close()
        return
    for page in context.pages:
        page.close()
    context.set_offline(False)
    _pools[context.browser][context.kind].append(context)


def _kind(origin: str, options: dict) -> tuple:
    return origin, repr(sorted(options.items()))


def _noting(context: BrowserContext, change):
    def change_for_good(*arguments, **named):
        context.is_changed = True
        return change(*arguments, **named)

    return change_for_good
