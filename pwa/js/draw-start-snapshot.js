// Draws the list of jobs, or the sheet that was left, as js/ui/start-snapshot.js remembered it, where the program is
// going to open with that. No module: it runs while the page is being read, before all else. A tap on what leads on is
// kept until the program is there; nothing else of a sheet can be used before.

(() => {
  const SVG = "http://www.w3.org/2000/svg";
  const LEADS_ON = ["next", "menu", "back"];
  const place = location.hash || localStorage.getItem("tapermark.place") || "";
  const isInJob = place.startsWith("#/job/");
  const look = isInJob ? sheetLook() : place === "#/" && JSON.parse(localStorage.getItem("tapermark.look"));
  if (isInJob) document.head.append(document.getElementById("later-styles").content.cloneNode(true));
  if (look) draw(look);
  // With no list to wait for, all modules are asked for at once; where one is missing, who needs it says so
  if (isInJob) import("/js/sheet-modules.js").catch(() => {});
  else if (!look) import("/js/first-modules.js").catch(() => {});
  addEventListener("error", sayCannotStart, true);

  /** Here, because a program whose modules are missing or do not fit together never runs a line of its own. */
  function sayCannotStart({ target }) {
    const words = document.getElementById("cannot-start"); // gone once a screen stands
    if (words && (target === window || target instanceof HTMLScriptElement)) words.hidden = false;
  }

  function sheetLook() {
    const kept = JSON.parse(localStorage.getItem("tapermark.sheet-look"));
    return kept?.place === place ? kept.look : null;
  }

  function draw(look) {
    document.documentElement.dataset.theme = localStorage.getItem("tapermark.theme") ?? "system";
    const cannotStart = document.getElementById("cannot-start");
    for (const [id, nodes] of look) {
      const root = document.getElementById(id);
      root.replaceChildren(...nodes.map((node) => drawn(node, null)));
      for (const node of root.children) node.addEventListener("click", keepTap);
      if (isInJob && id === "main") for (const node of root.children) node.inert = true;
    }
    document.getElementById("main").prepend(cannotStart); // the program may fail yet, and says so there
  }

  function drawn(node, namespace) {
    if (typeof node === "string") return node;
    const [name, attributes, children] = node;
    const within = name === "svg" ? SVG : namespace;
    const made = within ? document.createElementNS(within, name) : document.createElement(name);
    for (const attribute of attributes) made.setAttribute(...attribute);
    made.append(...children.map((child) => drawn(child, within)));
    return made;
  }

  function keepTap({ target }) {
    const key = target.closest("[data-key]")?.dataset.key;
    if (key && (!isInJob || LEADS_ON.includes(key))) document.documentElement.dataset.tapped = key;
  }
})();
