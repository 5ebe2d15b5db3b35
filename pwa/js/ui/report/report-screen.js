/**
 * The report of a job on the screen, as it will be on paper; shared by the phone's own share sheet, printed, or saved.
 */

import { LETTERHEAD } from "../../sync/letterhead.js";
import { loadPhoto } from "../../sync/photos.js";
import { SHOP } from "../../store/names.js";
import { element, fill } from "../parts/element.js";
import { wholeReport } from "./whole-report.js";

const STYLES = ["/css/report.css", "/css/drawings.css"];

export class ReportScreen {
  #app;
  #route;
  #job;
  #shown = null;
  #pictures = new Map();
  #file = null;

  constructor(app, route) {
    this.#app = app;
    this.#route = route;
    this.element = element("div", { class: "report-screen" });
  }

  async update() {
    const job = (this.#job = await this.#app.job(this.#route.job));
    if (this.#shown === job.entries.length) return;
    this.#shown = job.entries.length;
    for (const url of this.#pictures.keys()) URL.revokeObjectURL(url);
    this.#pictures.clear();
    const { phone } = this.#app;
    const page = await wholeReport({ app: this.#app, job, sets: phone, shop: await this.#shop(),
      pictureOf: (entry) => this.#pictureOf(entry) });
    fill(this.element, page);
    this.#file = await reportFile(page, this.#title(), this.#pictures);
  }

  frame() {
    const { t } = this.#app;
    const back = () => this.#app.go({ screen: "sheet", job: this.#route.job, sheet: null });
    const print = { key: "print", label: t("report.print"), press: () => window.print() };
    const save = { key: "save-file", label: t("report.save"), press: () => this.#save() };
    const canShare = Boolean(this.#file && navigator.canShare?.({ files: [this.#file] }));
    return {
      name: this.#job?.registration || t("ui.job.no-registration"), place: t("report.title"), back,
      primary: canShare ? { key: "share", label: t("report.share"), press: () => this.#share() } : print,
      more: canShare ? [print, save] : [save],
    };
  }

  #title() {
    return this.#app.t("report.file-title",
      { registration: this.#job.registration, date: this.#job.entries.at(-1).at.slice(0, 10) });
  }

  /** The shop's name and, where it has told them, address, telephone, logo and foot: those of another shop stay out. */
  async #shop() {
    const { phone } = this.#app;
    const [shop, head] = await Promise.all([phone.setting(SHOP), phone.setting(LETTERHEAD)]);
    const name = shop?.name ?? "";
    if (!name || head?.name !== name) return name && { name };
    return { ...head, logo: head.logo && this.#urlOf({ bytes: head.logo.bytes, mime: "image/jpeg" }) };
  }

  async #pictureOf({ erased, body: { sha256 } }) {
    const photo = await loadPhoto(this.#app.phone, sha256).catch(() => null);
    const away = this.#app.t(erased ? "report.photo-away.erased" : "report.photo-away");
    return { url: photo && this.#urlOf(photo), away };
  }

  #urlOf(picture) {
    const url = URL.createObjectURL(new Blob([picture.bytes], { type: picture.mime }));
    this.#pictures.set(url, picture);
    return url;
  }

  async #share() {
    try {
      await navigator.share({ files: [this.#file], title: this.#title() });
    } catch (error) {
      if (error.name !== "AbortError") this.#app.say(this.#app.t("report.share.failed"));
    }
  }

  #save() {
    const url = URL.createObjectURL(this.#file);
    element("a", { href: url, download: this.#file.name }).click();
    setTimeout(() => URL.revokeObjectURL(url), 1000); // the download has begun by then
    this.#app.say(this.#app.t("report.saved"));
  }
}

/**
 * The report as one file that needs nothing else: its styles and photos inside, to be shared or saved without network.
 * @param {HTMLElement} report
 * @param {string} title
 * @param {Map<string, {bytes: ArrayBuffer, mime: string}>} photos by the address that they are shown under
 * @returns {Promise<File>}
 */
async function reportFile(report, title, photos) {
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
