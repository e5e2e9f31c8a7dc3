// The shop's guides, bearings and cutters. What stands here belongs to this job; the shop's own shelf is kept beside it.
import { For, Index, Show, createSignal } from "solid-js";
import { change, settled } from "../bench";
import type { ToolRow } from "../protocol";
import { Blank } from "./Blank";

const kinds = [
  { list: "guides", title: "Guides", one: "guide", size: "outside", asks: "outside diameter" },
  { list: "bearings", title: "Bearings", one: "bearing", size: "outside", asks: "outside diameter" },
  { list: "cutters", title: "Cutters", one: "cutter", size: "diameter", asks: "cutting diameter" },
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
    </div>
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
                <dl>
                  <Index each={row().fields}>
                    {(field) => (
                      <div>
                        <dt>{shortLabel(field().label, row().name.value)}</dt>
                        <dd>
                          <Blank field={field()} />
                        </dd>
                      </div>
                    )}
                  </Index>
                </dl>
                <button type="button" class="quiet" onClick={() => void change([{ remove: row().pointer }])}>
                  Take off<span class="unseen"> {row().name.value}</span>
                </button>
              </li>
            )}
          </Index>
        </ul>
      </Show>
      <Add kind={props.kind} />
    </section>
  );
}

/** "outside diameter of 30 mm guide" stands under the guide's own name: the name need not be repeated. */
function shortLabel(label: string, name: string): string {
  const tail = ` of ${name}`;
  return label.endsWith(tail) ? label.slice(0, -tail.length) : label;
}

function Add(props: { kind: Kind }) {
  const [open, setOpen] = createSignal(false);
  let size!: HTMLInputElement;
  let name!: HTMLInputElement;
  function add(e: SubmitEvent): void {
    e.preventDefault();
    const typed = size.value.trim();
    if (typed === "") {
      size.focus();
      return;
    }
    const called = name.value.trim() || `${typed}${/[a-z"'”′]/i.test(typed) ? "" : ` ${settled()?.unit ?? ""}`} ${props.kind.one}`;
    void change([{ insert: `/shelf/${props.kind.list}/-`, value: { name: called, [props.kind.size]: typed } }]).then((taken) => {
      if (taken) setOpen(false);
    });
  }
  return (
    <Show
      when={open()}
      fallback={
        <button type="button" class="quiet" onClick={() => setOpen(true)}>
          Put a {props.kind.one} on the shelf
        </button>
      }
    >
      <form class="add" onSubmit={add}>
        <label>
          {props.kind.asks}
          <input type="text" autocomplete="off" ref={(node) => (size = node, queueMicrotask(() => node.focus()))} />
        </label>
        <label>
          called
          <input type="text" autocomplete="off" placeholder={`what you call this ${props.kind.one}`} ref={name} />
        </label>
        <button type="submit">Put it there</button>
        <button type="button" class="quiet" onClick={() => setOpen(false)}>
          Leave it
        </button>
      </form>
    </Show>
  );
}
