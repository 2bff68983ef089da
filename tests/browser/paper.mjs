// What comes out of the printer: pages as PDF, read by another program than the one that drew them.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { promisify } from "node:util";
import { looking } from "./browser.mjs";

const run = promisify(execFile);

/** What stands around every page on the screen: on paper nothing of it does. */
const AROUND = ["Sign out", "To the page itself", "Español", "Someone is asking"];

/** Prints a page as its style sheet says, and gives the text of each sheet. */
async function printed(page, address) {
  await page.goto(address);
  const folder = await mkdtemp(path.join(tmpdir(), "dooryard-paper-"));
  try {
    const file = path.join(folder, "paper.pdf");
    await page.pdf({ path: file, preferCSSPageSize: true });
    const { stdout } = await run("pdftotext", ["-layout", "-enc", "UTF-8", file, "-"], { maxBuffer: 1 << 26 });
    // Each sheet ends with a form feed.
    return stdout.split("\f").slice(0, -1).map((sheet) => sheet.replace(/\s+/g, " ").trim());
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** Every one of these is on the screen and, of `there`, on paper too; of `gone`, on paper not. */
async function checked(page, address, { there, gone }) {
  const sheets = await printed(page, address);
  const text = sheets.join(" ");
  const screen = (await page.locator("body").innerText()).replace(/\s+/g, " ");
  for (const words of there) assert.ok(text.includes(words), `“${words}” is missing on paper:\n${text}`);
  for (const words of gone) {
    assert.ok(screen.includes(words), `“${words}” is not on the screen either:\n${screen}`);
    assert.ok(!text.includes(words), `“${words}” is on paper`);
  }
  for (const words of AROUND) assert.ok(!text.includes(words), `“${words}” is on paper`);
  return sheets;
}

export function paper(stage) {
  test("a usual letter is one sheet in both languages, whole and without a control", () =>
    looking(stage, {}, async (page) => {
      // A limb over a wire, a plant with a sample, and four without stops as they come.
      const named = (i) => stage.plants.some((p) => p.fields.inquiry === i.id && p.fields.host !== "unknown");
      const usual = stage.inquiries.filter((i) => (i.fields.stops ?? []).length === 0 && named(i)).slice(0, 4);
      for (const inquiry of [stage.limb, stage.sampled, ...usual]) {
        for (const [lang, begins, ends] of [["en", "About your plant", "With kind regards,"], ["es", "Sobre su planta", "Atentamente,"]]) {
          const address = `/inquiries/${inquiry.id}/letter?lang=${lang}`;
          const there = ["Larkspur County", begins, ends, inquiry.id.slice(-8)];
          const sheets = await checked(page, address, { there, gone: ["Keep as sent", "Back to the looks", "Show the letter"] });
          assert.equal(sheets.length, 1, `${address}: ${sheets.length} sheets`);
          assert.equal(sheets[0].split(ends).length, 2, "it stands there once");
        }
      }
      const long = await printed(page, `/inquiries/${stage.beans.id}/letter?lang=en`);
      assert.ok(long.length === 2 && long[1].includes("With kind regards,"), "nothing of a long one is cut off");
    }));

  test("an inquiry on paper has what was found and what happened, and no form", () =>
    looking(stage, {}, async (page) => {
      const site = stage.siteOf(stage.sampled);
      await checked(page, `/inquiries/${stage.sampled.id}`, {
        there: [`${site.fields.township} township`, "What happened", "Who has it", "The resident"],
        gone: ["Show address", "Show contact", "Keep this"],
      });
    }));

  test("a list on paper says what was chosen and holds every row of it, and no form", () =>
    looking(stage, {}, async (page) => {
      const there = new Set(stage.sites.filter((s) => s.fields.township === "Tern Hollow").map((s) => s.id));
      const rows = stage.inquiries.filter((i) => there.has(i.fields.site));
      const sheets = await checked(page, "/inquiries?township=Tern+Hollow", {
        there: ["Township: Tern Hollow", `${rows.length} of ${stage.inquiries.length} inquiries`],
        gone: ["Choose these", "Download this", "Saved views"],
      });
      assert.equal(sheets.join(" ").match(/, Tern Hollow/g).length, rows.length);
    }));

  test("the report of a month on paper has its counts and its tables, and nothing to press", () =>
    looking(stage, {}, async (page) => {
      const sheets = await checked(page, "/season/report?month=2026-07", {
        there: ["Report for July 2026", "1 July", "31 July", "Larkspur County"],
        gone: ["Month before", "Month after"],
      });
      assert.ok(sheets.length <= 4, `${sheets.length} sheets`);
    }));
}
