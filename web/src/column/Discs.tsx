// Discs of a wood, routed all round: where the rim tore corrects the model by which the router is fed.
import { For, Index, Show } from "solid-js";
import { change, changesFromHere, picture, settled } from "../bench";
import { today } from "../dates";
import type { DiscRow, SpotRow } from "../protocol";
import { server } from "../server";
import { AddForm } from "./AddForm";
import { Blank } from "./Blank";
import { ToldParts } from "./ToldParts";

const sheet = "disc.pdf";

export function Discs() {
  const rows = () => settled()?.shelf.discs ?? [];
  return (
    <section aria-label="Discs" class="discs">
      <h3>Discs</h3>
      <Show when={rows().length > 0} fallback={<p class="none">None yet. A disc of the board, routed all round, shows where this wood tears.</p>}>
        <ul class="tools">
          <Index each={rows()}>{(row) => <Disc row={row()} />}</Index>
        </ul>
      </Show>
      <p class="presses">
        <a href={server.paperAddress(settled()?.id ?? 0, sheet)} download={sheet}>
          Print the sheet of a disc
        </a>
      </p>
      <New />
    </section>
  );
}

/** "cutter of disc 1 of ash" stands under the disc's own name: it need not be repeated. */
const short = (label: string, of: string): string => (label.endsWith(` of ${of}`) ? label.slice(0, -` of ${of}`.length) : label);

function Disc(props: { row: DiscRow }) {
  const { refused, make } = changesFromHere();
  let from!: HTMLInputElement;
  let to!: HTMLInputElement;
  let way!: HTMLSelectElement;
  let seen!: HTMLSelectElement;
  function add(): Promise<boolean> | undefined {
    const empty = [from, to].find((input) => input.value.trim() === "");
    if (empty) {
      empty.focus();
      return undefined;
    }
    const degrees = (input: HTMLInputElement) => input.value.trim().replace("°", "");
    const number = (text: string) => (Number.isFinite(Number(text)) ? Number(text) : text);
    return make([
      {
        insert: `${props.row.pointer}/rim/-`,
        value: { from_degrees: number(degrees(from)), to_degrees: number(degrees(to)), feed: way.value, seen: seen.value },
      },
    ]);
  }
  return (
    <li>
      <div class="name">{props.row.title}</div>
      <dl>
        <Index each={props.row.fields}>
          {(field) => (
            <div>
              <dt>{short(field().label, props.row.title)}</dt>
              <dd>
                <Blank field={field()} />
              </dd>
            </div>
          )}
        </Index>
      </dl>
      <Show when={props.row.rim.length > 0}>
        <ol class="rim" aria-label={`What was seen on the rim of ${props.row.title}`}>
          <Index each={props.row.rim}>{(stretch) => <Stretch row={stretch()} />}</Index>
        </ol>
      </Show>
      <AddForm
        opens={
          <>
            Write down a stretch<span class="unseen"> of {props.row.title}</span>
          </>
        }
        takes="Write it down"
        refused={refused()}
        add={add}
      >
        <label>
          from °
          <input type="text" inputmode="decimal" autocomplete="off" ref={from} />
        </label>
        <label>
          to °
          <input type="text" inputmode="decimal" autocomplete="off" ref={to} />
        </label>
        <label>
          fed
          <select ref={way} aria-label="fed">
            <For each={["conventional", "climb"]}>{(says) => <option>{says}</option>}</For>
          </select>
        </label>
        <label>
          seen
          <select ref={seen} aria-label="seen">
            <For each={["clean", "fuzzy", "torn"]}>{(says) => <option>{says}</option>}</For>
          </select>
        </label>
      </AddForm>
      <div class="closing">
        <ToldParts parts={[props.row.told]} />
      </div>
      <button type="button" class="quiet" onClick={() => void change([{ remove: props.row.pointer }])}>
        Take away<span class="unseen"> {props.row.title}</span>
      </button>
    </li>
  );
}

function Stretch(props: { row: SpotRow }) {
  return (
    <li>
      <Blank field={props.row.fields[0]!} /> to <Blank field={props.row.fields[1]!} />, <Blank field={props.row.fields[2]!} />: <Blank field={props.row.fields[3]!} />{" "}
      <button type="button" class="quiet" onClick={() => void change([{ remove: props.row.pointer }])}>
        Strike out<span class="unseen"> {props.row.title}</span>
      </button>
    </li>
  );
}

function New() {
  const { refused, make } = changesFromHere();
  let wood!: HTMLSelectElement;
  const woods = () => [...new Set((picture()?.drawing.pieces ?? []).map((piece) => piece.species))];
  return (
    <AddForm
      opens="Put a disc on the shelf"
      takes="Put it there"
      refused={refused()}
      add={() => make([{ insert: "/shelf/discs/-", value: { species: wood.value, on: today(), rim: [] } }])}
    >
      <label class="wide">
        of
        <select ref={wood}>
          <For each={woods()}>{(name) => <option>{name}</option>}</For>
        </select>
      </label>
    </AddForm>
  );
}
