// The wood: which piece comes from which board, drawn, and the year to come.
import assert from "node:assert/strict";
import { test } from "node:test";
import { readFileSync } from "node:fs";
import { inspect, openJob, openPage, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();
const stack = readFileSync(new URL("../../examples/stack-of-boards.json", import.meta.url), "utf8");

test("boards are drawn with their pieces, and a change of the top is followed", async () => {
  const id = await program.job({ document: stack });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const told = page.locator("#wood .closing");
  await told.waitFor();
  assert.equal(await told.locator(".board").count(), 3);
  assert.deepEqual(await told.locator(".board-name").allTextContents(), ["front board", "back board", "insert"]);
  assert.match(await told.textContent(), /No other way of laying them starts less wood/);
  assert.match(await told.textContent(), /shrinks by .* when it is driest/);
  await inspect(page, "boards and the year to come");

  // A thicker top than the boards plane to.
  await unfold(page, "whole");
  const thickness = page.getByLabel("thickness of the top");
  await thickness.fill("37 mm");
  await thickness.press("Tab");
  await page.waitForFunction(() => /planes to/.test(document.querySelector("#wood .closing")?.textContent ?? ""));
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("without boards the year is told all the same", async () => {
  const id = await program.job({ example: "bench-top" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const told = page.locator("#wood .closing");
  await told.waitFor();
  assert.match(await told.textContent(), /There are no boards on the shelf of this job yet/);
  assert.match(await told.textContent(), /Hold it fast along one line/);
  await page.context().close();
});
