// Whether the files of this page are of one build. A worker hands out a verified set; without one, behind a server that
// is being renewed, old files and new ones may come mixed. The server names the build of each in Server-Timing, the one
// header of a file that a page can read.

performance.setResourceTimingBufferSize?.(2000); // what does not fit is not told: a phone takes several hundred files

/** @returns {boolean} true where files of two builds came; false also where the browser does not tell (plain HTTP) */
export function isMixed() {
  const [page] = performance.getEntriesByType("navigation");
  if (!page || page.workerStart > 0) return false;
  const files = [page, ...performance.getEntriesByType("resource")];
  const builds = files.flatMap(({ serverTiming = [] }) => serverTiming.filter(({ name }) => name === "build"));
  return new Set(builds.map(({ description }) => description)).size > 1;
}
