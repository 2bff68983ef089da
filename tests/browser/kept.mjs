// Pictures of every page that the tests visit, kept so that a person can look at them: one folder, made anew by each run.

import { mkdir, rm } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";

const FOLDER = fileURLToPath(new URL("../../target/pictures", import.meta.url));

/** Empties the folder. */
export async function noPictures() {
  await rm(FOLDER, { recursive: true, force: true });
  await mkdir(FOLDER, { recursive: true });
}

/** Keeps a picture of a page that is open in a window of this width, in CSS pixels: `the-list-768-dark.jpg`. */
export async function keep(page, name, scheme, width) {
  if (page.viewportSize().width !== width) await page.setViewportSize({ width, height: 900 });
  const called = name.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
  const file = path.join(FOLDER, `${called}-${width}-${scheme}.jpg`);
  await page.screenshot({ path: file, fullPage: true, type: "jpeg", quality: 60 });
}
