// Draws the list of jobs as js/ui/first-look.js remembered it, where the program is going to open with that list.
// No module: it runs while the page is being read, before all else. A tap is kept until the program is there.

(() => {
  const SVG = "http://www.w3.org/2000/svg";
  const look = localStorage.getItem("tapermark.look");
  if (!look || (location.hash || localStorage.getItem("tapermark.place")) !== "#/") {
    document.head.append(document.getElementById("modules").content); // with no list to wait for, all modules are asked for at once
    return;
  }
  document.documentElement.dataset.theme = localStorage.getItem("tapermark.theme") ?? "system";
  const cannotStart = document.getElementById("cannot-start");
  for (const [id, nodes] of JSON.parse(look)) {
    const root = document.getElementById(id);
    root.replaceChildren(...nodes.map((node) => drawn(node, null)));
    for (const node of root.children) node.addEventListener("click", keepTap);
  }
  document.getElementById("main").prepend(cannotStart); // the program may fail yet, and says so there

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
    if (key) document.documentElement.dataset.tapped = key;
  }
})();
