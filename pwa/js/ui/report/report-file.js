/**
 * The report as one file that needs nothing else: its styles and photos inside, to be shared or saved without network.
 */

const STYLES = ["/css/report.css", "/css/drawings.css"];

/**
 * @param {HTMLElement} report
 * @param {string} title
 * @param {Map<string, {bytes: ArrayBuffer, mime: string}>} photos by the address that they are shown under
 * @returns {Promise<File>}
 */
export async function reportFile(report, title, photos) {
  const page = document.implementation.createHTMLDocument(title);
  page.documentElement.lang = report.lang;
  const charset = page.createElement("meta");
  charset.setAttribute("charset", "utf-8");
  const viewport = page.createElement("meta");
  viewport.name = "viewport";
  viewport.content = "width=device-width, initial-scale=1";
  page.head.prepend(charset, viewport);
  const copy = page.importNode(report, true);
  for (const image of copy.querySelectorAll("img"))
    image.setAttribute("src", await dataUrl(photos.get(image.getAttribute("src"))));
  page.body.append(copy);
  const name = `${title.replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "").toLowerCase()}.html`;
  // The styles go in as text: an element would be met by this page's own policy, which forbids inline style.
  const html = page.documentElement.outerHTML.replace("</head>",
    () => `<style>${STYLES.map(rulesOf).join("\n")}</style></head>`);
  return new File(["<!doctype html>\n", html, "\n"], name, { type: "text/html" });
}

function rulesOf(path) {
  const sheet = [...document.styleSheets].find(({ href }) => href && new URL(href).pathname === path);
  return sheet ? [...sheet.cssRules].map((rule) => rule.cssText).join("\n") : "";
}

function dataUrl({ bytes, mime }) {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(reader.result);
    reader.onerror = () => reject(reader.error);
    reader.readAsDataURL(new Blob([bytes], { type: mime }));
  });
}
