// Test cuts: what a guide and a cutter really do, read off two coupons, and taken over by the shelf.
import { For, Index, Show } from "solid-js";
import { change, changesFromHere, say, settled } from "../bench";
import { today } from "../dates";
import type { TestCutRow } from "../protocol";
import { server } from "../server";
import { AddForm } from "./AddForm";
import { Blank } from "./Blank";
import { ToldParts } from "./ToldParts";

export function TestCuts() {
  const rows = () => settled()?.shelf.test_cuts ?? [];
  return (
    <section aria-label="Test cuts" class="test-cuts">
      <h3>Test cuts</h3>
      <Show when={rows().length > 0} fallback={<p class="none">None yet. A test cut tells what a guide and a cutter really do, to a few hundredths.</p>}>
        <ul class="tools">
          <Index each={rows()}>{(row) => <TestCut row={row()} />}</Index>
        </ul>
      </Show>
      <New />
    </section>
  );
}

function TestCut(props: { row: TestCutRow }) {
  return (
    <li>
      <div class="name">
        {props.row.title}
        <Show when={props.row.kept}>
          <span class="in-use">taken over</span>
        </Show>
      </div>
      <p>
        <a href={server.paperAddress(settled()?.id ?? 0, props.row.sheet)} download={props.row.sheet}>
          Print its sheet
        </a>
        , cut, measure, and write here what you read. Cut on <Blank field={props.row.on} wide />
      </p>
      <ol class="places">
        <Index each={props.row.fields}>
          {(field, i) => (
            <li>
              <span class="number">{i + 1}</span>
              <span class="what" aria-hidden="true">
                {props.row.places[i]}
              </span>
              <Blank field={field()} />
            </li>
          )}
        </Index>
      </ol>
      <div class="closing">
        <ToldParts parts={[props.row.told]} />
      </div>
      <p class="presses">
        <Show when={props.row.can_be_kept}>
          <button type="button" onClick={() => void change([{ learn: props.row.pointer }], () => say("The shelf works with these sizes now."))}>
            Take these sizes over
          </button>
        </Show>
        <button type="button" class="quiet" onClick={() => void change([{ remove: props.row.pointer }])}>
          Take away<span class="unseen"> the test cut of {props.row.title}</span>
        </button>
      </p>
    </li>
  );
}

function New() {
  const { refused, make } = changesFromHere();
  let guide!: HTMLSelectElement;
  let cutter!: HTMLSelectElement;
  const names = (list: "guides" | "cutters") => (settled()?.shelf[list] ?? []).map((row) => ({ name: row.name.value, used: row.used }));
  const first = (list: "guides" | "cutters") => names(list).find((tool) => tool.used)?.name;
  const choose = (list: "guides" | "cutters", says: string, ref: (node: HTMLSelectElement) => void) => (
    <label>
      {says}
      <select ref={ref}>
        <For each={names(list)}>{(tool) => <option selected={tool.name === first(list)}>{tool.name}</option>}</For>
      </select>
    </label>
  );
  return (
    <Show when={names("guides").length > 0 && names("cutters").length > 0}>
      <AddForm
        opens="Make a test cut"
        takes="Begin it"
        refused={refused()}
        add={() => make([{ insert: "/shelf/test_cuts/-", value: { guide: guide.value, cutter: cutter.value, on: today(), readings: {} } }])}
      >
        {choose("guides", "guide", (node) => (guide = node))}
        {choose("cutters", "cutter", (node) => (cutter = node))}
      </AddForm>
    </Show>
  );
}
