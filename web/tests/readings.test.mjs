// What a gauge read along a template: entered, told, shown over the unrolled seam, taken back, forgotten.
import assert from "node:assert/strict";
import { test } from "node:test";
import { inspect, openJob, openPage, saved, standUp } from "./bench.mjs";

const { program, browser } = await standUp();

test("readings are entered, judged, shown and forgotten", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await page.getByRole("button", { name: /what a gauge read/ }).click();
  const form = page.locator("form.readings");
  await form.locator("textarea").fill("position mm; deviation 0.01 mm\n0; 1\n50; many\n100; 2");
  await form.getByRole("button", { name: "Take these readings" }).click();
  await form.getByRole("alert").waitFor();
  assert.match(await form.getByRole("alert").textContent(), /[Ll]ine 3/);
  assert.equal((await program.screen(id)).seams[0].made, null);

  const rows = [];
  for (let at = 0; at <= 1500; at += 10) rows.push(`${at}; ${Math.abs(at - 600) < 25 ? 12 : 0}`);
  await form.locator("textarea").fill(rows.join("\n"));
  await form.getByRole("button", { name: "Take these readings" }).click();
  await page.getByText(/Its template was measured \(151 readings\)/).waitFor();
  await saved(page);
  const seam = (await program.screen(id)).seams[0];
  assert.match(seam.made.says, /stands proud by 0\.1\d mm at/);
  assert.match(seam.made.says, /your limit is 0\.10 mm/);
  const track = seam.strip.tracks.at(-1);
  assert.equal(track.id, "made");
  assert.ok(Math.abs(track.worst.at - 600) < 40, "told where it stands proud");
  assert.ok((await program.screen(id)).papers.files.some((f) => f.name === "front-seam-sanding-map.pdf"));
  await page.locator(".track.made").waitFor();
  await inspect(page, "a measured template");

  await page.getByRole("button", { name: "Measure its template again" }).click();
  await form.getByRole("button", { name: "Forget the readings there are" }).click();
  await page.getByText(/Its template was measured/).waitFor({ state: "detached" });
  await saved(page);
  assert.equal((await program.screen(id)).seams[0].made, null);
  await page.keyboard.press("Control+z");
  await page.getByText(/Its template was measured/).waitFor();
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
