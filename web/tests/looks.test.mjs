// What anybody must be able to read and use: axe-core finds nothing on any view in either theme; and how long a drag takes from
// hand to eye.
import assert from "node:assert/strict";
import os from "node:os";
import { test } from "node:test";
import { chooseSeam, handle, inspect, middle, openJob, openPage, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();
const jobs = {};
for (const example of ["hall-console", "bench-top", "round-table"]) jobs[example] = await program.job({ example });
jobs.blank = await program.job({ blank: { unit: "in" } });

for (const theme of ["light", "dark"]) {
  for (const [size, viewport] of [["laptop", { width: 1366, height: 768 }], ["phone", { width: 390, height: 844 }]]) {
    test(`axe-core finds nothing: ${theme}, ${size}`, async () => {
      const page = await openPage(browser, program.base, { colorScheme: theme, viewport });
      await page.goto(`${program.base}/#/jobs`);
      await page.locator(".ledger li").first().waitFor();
      await inspect(page, "jobs");

      await openJob(page, program.base, jobs["hall-console"]);
      for (const id of ["chain", "work", "whole", "shelf", "papers", "bring-in", "history"]) await unfold(page, id);
      await page.locator("#shelf").getByRole("button", { name: "Put a cutter on the shelf" }).click();
      await inspect(page, "everything unfolded");
      await page.locator("#papers").getByLabel("Show the sheets over the drawing").check();
      await page.locator(".tracks").focus();
      await page.keyboard.press("ArrowRight");
      await inspect(page, "sheets and plumb line");
      await page.getByRole("button", { name: "Show as a table" }).click();
      await inspect(page, "the strip as a table");
      await page.locator("[data-piece]").first().focus();
      await page.keyboard.press("Enter");
      await inspect(page, "a piece chosen");
      await page.getByRole("button", { name: "Draw a seam" }).click();
      await inspect(page, "ways to draw");
      await page.getByRole("button", { name: "an arc" }).click();
      await page.keyboard.press("ArrowRight");
      await page.keyboard.press("Space");
      await inspect(page, "drawing a seam");
      await page.keyboard.press("Escape");
      // A change that is refused, told at its field, and a problem in the list.
      await chooseSeam(page, 1);
      const blank = page.getByRole("textbox", { name: "pin 3 of back seam, from the front" });
      await blank.fill("much");
      await blank.press("Enter");
      await page.locator(".chosen .told").waitFor();
      await inspect(page, "a refused value");

      await openJob(page, program.base, jobs.blank);
      await page.locator(".problems li").first().waitFor();
      await inspect(page, "problems on a blank top");
      await openJob(page, program.base, jobs["round-table"]);
      await inspect(page, "round table");

      await page.goto(`${program.base}/shop?job=${jobs["hall-console"]}`);
      await page.locator(".shop li").first().waitFor();
      await page.locator(".shop li input").first().check();
      await inspect(page, "in the shop");
      assert.deepEqual(page.faults, []);
      await page.context().close();
    });
  }
}

test("no sideways scrolling at any size, and nothing of the column runs out of it", async () => {
  for (const [width, height] of [[360, 740], [390, 844], [768, 1024], [1024, 700], [1366, 768], [2560, 1440]]) {
    const page = await openPage(browser, program.base, { viewport: { width, height } });
    await openJob(page, program.base, jobs["hall-console"]);
    for (const id of ["work", "whole", "shelf", "papers", "bring-in", "history"]) await unfold(page, id);
    await page.locator("#work .work-told").waitFor();
    const over = await page.evaluate(() => ({
      page: document.documentElement.scrollWidth - document.documentElement.clientWidth,
      column: document.querySelector(".column").scrollWidth - document.querySelector(".column").clientWidth,
    }));
    assert.deepEqual(over, { page: 0, column: 0 }, `${width} × ${height}`);
    await page.context().close();
  }
});

test("a drag: the picture belongs to the frame in which the pointer moved", async () => {
  const wanted_ms = 16; // p95, from the moment the browser hands over the pointer's move to the painted picture
  const drags = [
    ["hall-console", 1, "/seams/1/curve/pins/points/2"],
    ["hall-console", 0, "/seams/0/curve/wave/from"],
    ["bench-top", 0, "/seams/0/curve/arc/from"],
    ["round-table", 1, "/seams/1/curve/oval/centre"],
  ];
  const part = (values, p) => [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * p))];
  let worst = 0;
  console.log(`    load of the machine before: ${os.loadavg()[0].toFixed(1)} on ${os.cpus().length} cores; ms, p50 / p95`);
  for (const [example, seam, id] of drags) {
    const page = await openPage(browser, program.base);
    await openJob(page, program.base, jobs[example]);
    await chooseSeam(page, seam);
    await page.waitForTimeout(400);
    const [x, y] = await middle(handle(page, id).locator(".mark"));
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 4, y + 4);
    await page.evaluate(() => (window.seamwrightFrames.length = 0));
    const until = Date.now() + 3000;
    let moves = 0;
    while (Date.now() < until) {
      moves += 1;
      await page.mouse.move(x + 24 * Math.sin(moves / 17), y + 9 * Math.sin(moves / 11));
      // With what the driver itself takes, about the 8 ms at which a mouse reports (USB HID, full speed: common practice).
      await new Promise((resolve) => setTimeout(resolve, 4));
    }
    const frames = await page.evaluate(() => window.seamwrightFrames);
    await page.keyboard.press("Escape");
    await page.mouse.up();
    assert.ok(frames.length > 60, `${frames.length} frames in three seconds`);
    const applied = frames.map((f) => f.applied_ms - f.handed_ms);
    const painted = frames.map((f) => f.painted_ms - f.handed_ms);
    const moved = frames.map((f) => f.painted_ms - f.pointer_ms);
    worst = Math.max(worst, part(painted, 0.95));
    const says = (values) => `${part(values, 0.5).toFixed(1)} / ${part(values, 0.95).toFixed(1)}`;
    console.log(
      `    ${example} ${id}: ${moves} moves, ${frames.length} pictures; engine ${says(frames.map((f) => f.engine_us / 1000))}, pointer to document ${says(applied)}, to the painted frame ${says(painted)}; since the pointer moved ${says(moved)}`,
    );
    await page.context().close();
  }
  // On a machine that does other work the figures say nothing about the page; strict only when asked.
  if (process.env.SEAMWRIGHT_STRICT_FRAMES) {
    assert.ok(worst <= wanted_ms, `pointer to painted frame: p95 ${worst.toFixed(1)} ms`);
  } else {
    assert.ok(worst < 250, `p95 ${worst.toFixed(1)} ms`);
  }
});
