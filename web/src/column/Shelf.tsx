// The shop's guides, bearings, cutters and clamps, and what test cuts told about them. What stands here belongs to this job; the shop's own shelf is kept beside it.
import { For, Index, Show } from "solid-js";
import { change, changesFromHere, picture, settled } from "../bench";
import type { SpotRow, ToolRow } from "../protocol";
import { AddForm } from "./AddForm";
import { Blank } from "./Blank";
import { Discs } from "./Discs";
import { photoOf } from "../picture/boardPhoto";
import { TestCuts } from "./TestCuts";

// `asks`: what a tool cannot be on the shelf without; the first gives it its name.
const kinds = [
  { list: "guides", title: "Guides", one: "guide", asks: [["outside", "outside diameter"], ["barrel", "barrel stands out"]] },
  { list: "bearings", title: "Bearings", one: "bearing", asks: [["outside", "outside diameter"]] },
  { list: "cutters", title: "Cutters", one: "cutter", asks: [["diameter", "cutting diameter"], ["cutting_length", "cutting length"], ["shank", "shank"]] },
  { list: "clamps", title: "Clamps", one: "kind of clamps", name: "clamps", asks: [["opens", "open"], ["count", "how many"], ["force_n", "newtons each"]] },
  { list: "boards", title: "Boards", one: "board", name: "board", asks: [["length", "long"], ["width", "wide"], ["thickness", "thick"]] },
] as const;
type Kind = (typeof kinds)[number];

export function Shelf() {
  return (
    <div class="shelf">
      <Show when={settled()?.shelf_differs}>
        <p class="presses">
          This job's shelf is not the shop's any more.{" "}
          <button type="button" onClick={() => void change([{ take_shop_shelf: true }])}>
            Take the shop's shelf
          </button>
        </p>
      </Show>
      <For each={kinds}>{(kind) => <Tools kind={kind} rows={settled()?.shelf[kind.list] ?? []} />}</For>
      <Spots />
      <TestCuts />
      <Discs />
    </div>
  );
}

/** Knots, checks and the like, on all boards. */
function Spots() {
  const rows = () => settled()?.shelf.spots ?? [];
  const { refused, make } = changesFromHere();
  let board!: HTMLSelectElement;
  const sizes: HTMLInputElement[] = [];
  function add(): Promise<boolean> | undefined {
    const empty = sizes.find((input) => input.value.trim() === "");
    if (empty) {
      empty.focus();
      return undefined;
    }
    const [x, y, radius] = sizes.map((input) => input.value.trim());
    return make([{ insert: `${board.value}/defects/-`, value: { kind: "knot", at: [x!, y!], radius: radius! } }]);
  }
  return (
    <Show when={(settled()?.shelf.boards.length ?? 0) > 0}>
      <section aria-label="Knots and other spots">
        <h3>Knots and other spots</h3>
        <ul class="tools">
          <Index each={rows()}>
            {(row) => (
              <li>
                <div class="name">{row().title}</div>
                <Entries row={row()} of={row().title} />
              </li>
            )}
          </Index>
        </ul>
        <AddForm opens={<>Mark a spot on a board</>} takes="Mark it" refused={refused()} add={add}>
          <label>
            on
            <select ref={board}>
              <For each={settled()?.shelf.boards}>{(row) => <option value={row.pointer}>{row.name.value}</option>}</For>
            </select>
          </label>
          <For each={["from the left end", "from the near edge", "radius"]}>
            {(says, i) => (
              <label>
                {says}
                <input type="text" autocomplete="off" ref={(node) => (sizes[i()] = node)} />
              </label>
            )}
          </For>
        </AddForm>
      </section>
    </Show>
  );
}

function Tools(props: { kind: Kind; rows: ToolRow[] }) {
  return (
    <section aria-label={props.kind.title}>
      <h3>{props.kind.title}</h3>
      <Show when={props.rows.length > 0} fallback={<p class="none">None on the shelf.</p>}>
        <ul class="tools">
          <Index each={props.rows}>
            {(row) => (
              <li classList={{ used: row().used }}>
                <div class="name">
                  <Blank field={row().name} wide />
                  <Show when={row().used}>
                    <span class="in-use">in use</span>
                  </Show>
                </div>
                <Show when={row().picture !== undefined}>
                  <BoardPicture board={row()} />
                </Show>
                <Entries row={row()} of={row().name.value} />
              </li>
            )}
          </Index>
        </ul>
      </Show>
      <Add kind={props.kind} />
    </section>
  );
}

/** The press that takes a photo of a board, and what there is already. */
function BoardPicture(props: { board: ToolRow }) {
  let file!: HTMLInputElement;
  return (
    <p class="board-picture">
      <Show when={props.board.picture}>
        {(name) => (
          <>
            <span class="file">{name()}</span>{" "}
            <button type="button" class="quiet" onClick={() => void change([{ remove: `${props.board.pointer}/picture` }])}>
              Take the picture off<span class="unseen"> {props.board.name.value}</span>
            </button>{" "}
          </>
        )}
      </Show>
      <button type="button" class="quiet" onClick={() => file.click()}>
        {props.board.picture ? "Another photo" : "A photo of it"}
        <span class="unseen"> for {props.board.name.value}</span> …
      </button>
      <input
        ref={file}
        type="file"
        hidden
        accept="image/jpeg,image/png"
        onChange={() => {
          const chosen = file.files?.[0];
          file.value = "";
          if (chosen) photoOf(props.board, chosen);
        }}
      />
    </p>
  );
}

/** What is said of a thing on the shelf, and the press that takes it off. */
function Entries(props: { row: ToolRow | SpotRow; of: string }) {
  return (
    <>
      <dl>
        <Index each={props.row.fields}>
          {(field) => (
            <div>
              <dt>{shortLabel(field().label, props.of)}</dt>
              <dd>
                <Blank field={field()} />
              </dd>
            </div>
          )}
        </Index>
      </dl>
      <button type="button" class="quiet" onClick={() => void change([{ remove: props.row.pointer }])}>
        Take off<span class="unseen"> {props.of}</span>
      </button>
    </>
  );
}

/** "outside diameter of 30 mm guide" stands under the guide's own name: the name need not be repeated. */
function shortLabel(label: string, name: string): string {
  const tail = ` of ${name}`;
  return label.endsWith(tail) ? label.slice(0, -tail.length) : label;
}

function Add(props: { kind: Kind }) {
  const { refused, make } = changesFromHere();
  const sizes: HTMLInputElement[] = [];
  let name!: HTMLInputElement;
  function add(): Promise<boolean> | undefined {
    const empty = sizes.find((input) => input.value.trim() === "");
    if (empty) {
      empty.focus();
      return undefined;
    }
    const first = sizes[0]!.value.trim();
    const plain = /^[\d.,]+$/.test(first);
    const value: Record<string, string> = { name: name.value.trim() || `${first}${plain ? ` ${settled()?.unit ?? ""}` : ""} ${"name" in props.kind ? props.kind.name : props.kind.one}` };
    // Of the wood of the first piece, to be changed in its row.
    if (props.kind.list === "boards") value.species = picture()?.drawing.pieces.find((p) => p.wood !== "unknown")?.species ?? "Walnut, black";
    props.kind.asks.forEach(([key], i) => (value[key] = sizes[i]!.value.trim()));
    return make([{ insert: `/shelf/${props.kind.list}/-`, value }]);
  }
  return (
    <AddForm opens={<>Put a {props.kind.one} on the shelf</>} takes="Put it there" refused={refused()} add={add}>
      <For each={props.kind.asks}>
        {([, says], i) => (
          <label>
            {says}
            <input
              type="text"
              autocomplete="off"
              ref={(node) => {
                sizes[i()] = node;
                if (i() === 0) queueMicrotask(() => node.focus());
              }}
            />
          </label>
        )}
      </For>
      <label class="wide">
        called
        <input type="text" autocomplete="off" placeholder={`or by its size`} ref={name} />
      </label>
    </AddForm>
  );
}
