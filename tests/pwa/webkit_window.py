"""A small WebKitGTK browser with a profile on disk, for WebKitWebDriver to start. Runs on the system's Python with gi.

The driver's own browser keeps its session in memory: it forgets the job at its end, and there IndexedDB takes no bytes
of a file. Run by WebKitWebDriver as `webkit_window.py <profile folder> --automation`.
"""

import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2  # noqa: E402 the versions come first

DRIVER_ASKS_FOR = "MiniBrowser"  # the driver accepts a session only from an application of this name
FEATURES = ("StorageAPI", "StorageAPIEstimate")
PHONE_SIZE = (412, 740)  # the narrowest that GTK makes it


def window(context: WebKit2.WebContext) -> WebKit2.WebView:
    """Open the one window and return its page."""
    view = WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
    settings = view.get_settings()
    known = WebKit2.Settings.get_all_features()
    for feature in (known.get(at) for at in range(known.get_length())):
        if feature.get_identifier() in FEATURES:
            settings.set_feature_enabled(feature, True)
    view.connect("close", Gtk.main_quit)
    frame = Gtk.Window(default_width=PHONE_SIZE[0], default_height=PHONE_SIZE[1])
    frame.add(view)
    frame.show_all()
    return view


def main(profile: str) -> None:
    data = WebKit2.WebsiteDataManager(base_data_directory=f"{profile}/data", base_cache_directory=f"{profile}/cache")
    context = WebKit2.WebContext(website_data_manager=data)
    context.set_automation_allowed(True)

    def started(_context, session):
        info = WebKit2.ApplicationInfo()
        info.set_name(DRIVER_ASKS_FOR)
        info.set_version(WebKit2.get_major_version(), WebKit2.get_minor_version(), WebKit2.get_micro_version())
        session.set_application_info(info)
        session.connect("create-web-view", lambda _session: window(context))

    context.connect("automation-started", started)
    Gtk.main()


if __name__ == "__main__":
    main(sys.argv[1])
