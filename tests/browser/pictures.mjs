// Takes the pictures of docs/pictures anew, on purpose: `npm run pictures`, after a build. Look at each before committing it.

import { mkdir, writeFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { PNG } from "pngjs";
import { openBrowser } from "./browser.mjs";
import { openDesk } from "./desk.mjs";
import { DRAWS } from "./map.mjs";
import { readStage } from "./stage.mjs";

const FOLDER = fileURLToPath(new URL("../../docs/pictures", import.meta.url));
const WIDTH = 1280;
/** Most that a picture may weigh, bytes. */
const MOST = 300_000;

const desk = await openDesk();
const browser = await openBrowser(DRAWS);
let session;
try {
  const stage = { browser };
  await readStage(stage, desk);
  await mkdir(FOLDER, { recursive: true });
  session = stage.session;
  await take("office-morning", "/", 1180);
  await take("office-walk", `/inquiries/${stage.beans.id}/walk`, 1560);
  await take("office-letter", `/inquiries/${stage.beans.id}/letter`, 1500);
  await take("office-review", "/review", 1120);
  await take("office-map", "/map?host=tomato_family", 1330);
  await take("office-season", "/season", 1300);
  await take("office-inquiries", "/inquiries", 1120);
  await take("office-inquiry", `/inquiries/${stage.limb.id}`, 1490);
  await take("office-take-in", "/take-in", 1262);
} finally {
  await browser.close();
  await desk.close();
}

/** Takes the upper part of a page, `height` CSS pixels of it, with its photos loaded. */
async function take(name, address, height) {
  const page = await browser.newPage({ viewport: { width: WIDTH, height }, reducedMotion: "reduce", storageState: session });
  await page.goto(`${desk.base}${address}`);
  if (address.startsWith("/map")) await page.locator(".moved[data-ready=yes]").waitFor();
  for (const photo of await page.locator("img").all()) {
    await photo.scrollIntoViewIfNeeded();
    await photo.evaluate((img) => img.decode());
  }
  await page.evaluate(() => scrollTo(0, 0));
  const picture = lighter(await page.screenshot());
  await page.close();
  const size = picture.length;
  console.log(`${name}.png: ${WIDTH} x ${height} px, ${Math.ceil(size / 1000)} kB`);
  if (size > MOST) throw new Error(`${name}.png is heavier than ${MOST / 1000} kB: take less height`);
  await writeFile(path.join(FOLDER, `${name}.png`), picture);
}

/** The same picture with 64 steps of each color instead of 256: nobody sees it, and it packs better. */
function lighter(png) {
  const picture = PNG.sync.read(png);
  for (let at = 0; at < picture.data.length; at += 1) {
    const step = picture.data[at] >> 2;
    picture.data[at] = (step << 2) | (step >> 4); // 0 stays 0 and 255 stays 255
  }
  // No filter and zlib's own strategy: best for flat grounds with type on them.
  return PNG.sync.write(picture, { colorType: 2, inputHasAlpha: true, filterType: 0, deflateStrategy: 0, deflateLevel: 9 });
}
