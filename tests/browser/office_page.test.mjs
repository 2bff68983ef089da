// The office page of the demo county in a browser: `cargo xtask test` runs it, or `npm test` here after a build.

import { after, before, describe } from "node:test";
import { answering } from "./answering.mjs";
import { openBrowser } from "./browser.mjs";
import { openDesk } from "./desk.mjs";
import { inquiry } from "./inquiry.mjs";
import { noPictures } from "./kept.mjs";
import { list } from "./list.mjs";
import { listViews } from "./list_views.mjs";
import { map } from "./map.mjs";
import { oneInquiry } from "./one_inquiry.mjs";
import { paper } from "./paper.mjs";
import { reach } from "./reach.mjs";
import { seal } from "./seal.mjs";
import { review } from "./review.mjs";
import { season } from "./season.mjs";
import { readStage } from "./stage.mjs";
import { takeIn } from "./take_in.mjs";
import { takenIn } from "./taken_in.mjs";

/** What every test stands on: the page's address, the browser, and what the office truly holds. */
const stage = {};
const closing = [];

describe("the office page", () => {
  before(async () => {
    await noPictures();
    const desk = await openDesk();
    closing.push(desk.close);
    stage.desk = desk;
    stage.browser = await openBrowser();
    closing.push(() => stage.browser.close());
    await readStage(stage, desk);
  });
  after(async () => {
    for (const close of closing.reverse()) await close();
  });

  describe("the list of inquiries", () => list(stage));
  describe("a choice of inquiries", () => listViews(stage));
  describe("one inquiry", () => oneInquiry(stage));
  describe("the map", () => map(stage));
  describe("the season", () => season(stage));
  describe("one inquiry at work", () => inquiry(stage));
  describe("on paper", () => paper(stage));
  describe("what was taken in", () => takenIn(stage));
  describe("what is under seal", () => seal(stage));
  describe("answering a caller", () => answering(stage));
  describe("within everybody's reach", () => reach(stage));
  describe("what is brought in", () => takeIn(stage));
  // Last: it writes.
  describe("the review", () => review(stage));
});
