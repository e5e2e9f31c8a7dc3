// The work from the boards to the delivery: said in the cards, drawn and summed up, and fetched as files.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import ICAL from "ical.js";
import { inspect, openJob, openPage, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();
const bare = () => {
  const job = JSON.parse(readFileSync(new URL("../../examples/hall-console.json", import.meta.url), "utf8"));
  for (const key of ["edges", "finish", "calendar", "prices"]) delete job[key];
  return JSON.stringify(job);
};
const headOf = (page) => page.locator("#work .work-told:not(.stale) .verdict").allTextContents();
const told = (page, text) => page.locator("#work .work-told:not(.stale)", { hasText: text }).waitFor();
const delivery = async (page) => (await headOf(page))[0];
async function fill(page, label, text) {
  const field = page.getByLabel(label, { exact: true });
  await field.fill(text);
  await field.press("Tab");
  await saved(page);
}

test("finish, calendar and prices are said on the page, and delivery and sum follow", async () => {
  const id = await program.job({ document: bare() });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "work");
  await told(page, "days are counted instead of dated");
  assert.match(await delivery(page), /Earliest delivery: Day \d+/);
  const days = async () => Number(/Day (\d+)/.exec(await delivery(page))[1]);
  const unfinished = await days();
  const whole = await unfold(page, "whole");
  await unfold(page, "papers");
  await page.locator("#papers .work-files", { hasText: "It needs the first day of work" }).waitFor();
  assert.equal(await page.locator("#papers .work-files a").count(), 3, "the calendar has a reason in place of a link");

  // A finish: the coats have to dry.
  await whole.getByRole("button", { name: "Add a finish" }).click();
  await page.locator("#work .work-told:not(.stale)", { hasText: "Coat by coat" }).waitFor();
  assert.ok((await days()) > unfinished, `${await days()} days with a finish, ${unfinished} without`);
  assert.match(await whole.locator('[data-card="/finish"]').textContent(), /It stands water: /);
  // What was begun can be filled in at once.
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("aria-label")), "kind of finish");
  await page.getByLabel("kind of finish").selectOption("shellac");
  await told(page, "Shellac");

  // A calendar.
  await whole.getByRole("button", { name: "Add a calendar" }).click();
  await page.getByLabel("first day of work").fill("2027-01-11");
  await told(page, "Earliest delivery: ");
  await page.waitForFunction(() => /2027-0\d-\d\d/.test(document.querySelector("#work .verdict")?.textContent ?? ""));
  const before = await delivery(page);
  assert.equal(await page.locator("#work .calendar-across svg .closed.day").count() > 0, true);
  // The day of the delivery becomes a day off, and then the next one.
  const last = /(\d{4}-\d\d-\d\d)/.exec(before)[1];
  await page.getByLabel("another day off").fill(last);
  await page.waitForFunction((was) => !document.querySelector("#work .stale") && document.querySelector("#work .verdict")?.textContent !== was, before);
  const later = await delivery(page);
  assert.notEqual(later, before);
  assert.equal(await page.getByLabel("day off 1").inputValue(), last);
  assert.equal(await page.getByLabel("another day off").inputValue(), "");
  await whole.getByRole("button", { name: `Open on ${last}` }).click();
  await page.waitForFunction((was) => !document.querySelector("#work .stale") && document.querySelector("#work .verdict")?.textContent === was, before);

  // A wrong hour is refused where it was typed, and stays there to be put right.
  const monday = page.getByLabel("hours on Monday");
  await monday.fill("08:00–25:00");
  await monday.press("Tab");
  const refused = page.locator(".blank", { has: monday }).locator(".told");
  await refused.waitFor();
  assert.match(await refused.textContent(), /08:00-25:00/);
  assert.match(await refused.textContent(), /08:00-12:00/);
  assert.equal(await monday.inputValue(), "08:00–25:00");
  await inspect(page, "a wrong hour");
  await fill(page, "hours on Monday", "closed");
  assert.equal(await refused.count(), 0);
  await page.waitForFunction((was) => !document.querySelector("#work .stale") && document.querySelector("#work .verdict")?.textContent !== was, before);
  assert.notEqual(await delivery(page), before, "without Mondays it begins later");
  assert.equal(await page.getByLabel("hours on Tuesday").inputValue(), "08:00–12:00, 13:00–17:00");

  // Prices: open first, then summed up.
  await whole.getByRole("button", { name: "Add prices" }).click();
  await told(page, "So far 0.00");
  await fill(page, "currency", "EUR");
  await fill(page, "price of an hour of work", "50");
  await told(page, "No price for: front board");
  const sum = async () => (await headOf(page))[1];
  const work = await sum();
  await fill(page, "price of a cubic metre of wood", "3000");
  await page.waitForFunction((was) => !document.querySelector("#work .stale") && document.querySelectorAll("#work .verdict")[1]?.textContent !== was, work);
  for (const [label, price] of [["price of a square metre of sheet", "20"], ["price of a kilogram of glue", "12"], ["price of a litre of finish", "40"], ["price of a disc or quarter sheet", "1"], ["price of a metre routed", "0.25"]])
    await fill(page, label, price);
  await page.waitForFunction(() => /^Together /.test(document.querySelectorAll("#work .work-told:not(.stale) .verdict")[1]?.textContent ?? ""));
  const together = await sum();
  assert.equal(await page.locator("#work .open").count(), 1, "the edge is not said yet");
  const table = page.locator("#work .cost table");
  assert.equal(await table.locator("tfoot td").textContent(), /Together ([\d.]+ EUR)/.exec(together)[1]);
  const kinds = await table.locator("tbody tr").count();
  await page.getByLabel("Every line, not only the sums by kind").check();
  assert.ok((await table.locator("tbody tr").count()) > 2 * kinds);
  await fill(page, "terms of the quote", "Half when ordered.\nThe price holds for thirty days.");
  await inspect(page, "the work, unfolded");

  // A reload keeps everything.
  await told(page, "Earliest delivery: ");
  const end = await delivery(page);
  await page.reload();
  await page.locator("#work .work-told:not(.stale)").waitFor();
  assert.equal(await delivery(page), end);
  assert.equal((await headOf(page))[1], together);
  assert.equal(await page.getByLabel("hours on Monday").inputValue(), "closed");
  assert.equal(await page.getByLabel("terms of the quote").inputValue(), "Half when ordered.\nThe price holds for thirty days.");

  // All four files.
  const files = page.locator("#papers .work-files a");
  await page.waitForFunction(() => document.querySelectorAll("#papers .work-files a").length === 4);
  const begins = { "job-book.pdf": "%PDF-", "quote.pdf": "%PDF-", "cut-list.csv": '', "calendar.ics": "BEGIN:VCALENDAR\r\n" };
  const types = { pdf: "application/pdf", csv: "text/csv; charset=utf-8", ics: "text/calendar; charset=utf-8" };
  for (let i = 0; i < 4; ++i) {
    const name = await files.nth(i).getAttribute("download");
    const [download] = await Promise.all([page.waitForEvent("download"), files.nth(i).click()]);
    assert.equal(download.suggestedFilename(), `Hall console ${name}`);
    const bytes = readFileSync(await download.path());
    assert.ok(bytes.toString("latin1").startsWith(begins[name]), name);
    const answer = await fetch(new URL(await files.nth(i).getAttribute("href"), program.base));
    assert.equal(answer.headers.get("content-type"), types[name.split(".")[1]]);
    assert.deepEqual(Buffer.from(await answer.arrayBuffer()), bytes, `${name} is the same every time`);
    if (name === "cut-list.csv") assert.match(bytes.toString(), /front board/);
    if (name === "calendar.ics") {
      const events = new ICAL.Component(ICAL.parse(bytes.toString())).getAllSubcomponents("vevent");
      const ready = events.find((event) => event.getFirstPropertyValue("summary").includes("Ready to deliver"));
      assert.ok(end.includes(ready.getFirstPropertyValue("dtstart").toString().slice(0, 10)), "the file says the same day as the page");
      const work = events.filter((event) => event.getFirstPropertyValue("transp") === "OPAQUE");
      assert.ok(work.length > 5);
      assert.ok(work.every((event) => event.getFirstPropertyValue("dtstart").dayOfWeek() !== ICAL.Time.MONDAY), "nobody works on a Monday");
    }
  }

  // Undo, step by step.
  await page.getByRole("button", { name: /Undo|Take back/ }).first().click();
  await page.waitForFunction(() => document.querySelector('[aria-label="terms of the quote"]')?.value === "");
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("with the keyboard alone, and taken away again", async () => {
  const id = await program.job({ example: "bench-top" });
  const page = await openPage(browser, program.base, { viewport: { width: 390, height: 844 } });
  await openJob(page, program.base, id);
  const whole = await unfold(page, "whole");
  await unfold(page, "work");
  await told(page, "Upper rim: a chamfer of 3/16 in");
  await page.getByLabel("profile of the upper rim", { exact: true }).selectOption("round_over");
  await told(page, "Upper rim: a round-over of 3/16 in");
  await fill(page, "size of the profile of the upper rim", "1/4");
  await told(page, "Upper rim: a round-over of 1/4 in");
  // The focus went on to the next blank and stays there when the answer comes.
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("aria-label")), "profile of the lower rim");
  await page.getByRole("button", { name: "Add a build-up under the edge" }).focus();
  await page.keyboard.press("Enter");
  await page.getByLabel("thickness of the build-up").waitFor();
  assert.equal(await page.getByLabel("thickness of the build-up").inputValue(), "3/4 in");
  await told(page, "The edge is 2 1/2 in thick");
  await whole.getByRole("button", { name: "Take the build-up away" }).press("Enter");
  await told(page, "The edge is 1 3/4 in thick");

  // The days scroll in their own box, not the page.
  const across = page.locator("#work .calendar-across");
  const over = await across.evaluate((node) => node.scrollWidth - node.clientWidth);
  assert.ok(over > 100);
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), 0);
  await across.focus();
  await page.keyboard.press("ArrowRight");
  await page.waitForFunction(() => document.querySelector("#work .calendar-across").scrollLeft > 0);
  // Names are whole.
  const cut = await page.locator("#work .calendar-names li").evaluateAll((rows) => rows.filter((row) => row.scrollHeight > row.clientHeight + 1).map((row) => row.textContent));
  assert.deepEqual(cut, []);
  // Strokes: the conventional one full, the climb cut dashed with two heads.
  assert.equal(await page.locator("#work .feed-stroke.conventional").count(), 2);
  const dashes = await page.locator("#work .feed-stroke.climb").first().evaluate((node) => getComputedStyle(node).strokeDasharray);
  assert.notEqual(dashes, "none");
  assert.equal(await page.locator("#work .feed-head").last().evaluate((node) => node.getAttribute("d").match(/M/g).length), 2);
  await inspect(page, "the work on a phone");
  await page.getByRole("button", { name: "Lay the calendar out large" }).click();
  await page.locator("dialog .calendar").waitFor();
  await inspect(page, "the calendar, large");
  await page.keyboard.press("Escape");
  await page.locator("dialog").waitFor({ state: "detached" });
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
