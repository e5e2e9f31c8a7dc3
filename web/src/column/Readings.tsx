// What a dial gauge or feelers read along the template made by hand.
import { Show, createSignal } from "solid-js";
import { changesFromHere, say, settled } from "../bench";
import { Told } from "./Told";

export function Readings(props: { pointer: string; measured: boolean; done: () => void }) {
  const inches = () => settled()?.unit === "in";
  const heading = () => (inches() ? "position in; deviation 0.001 in" : "position mm; deviation 0.01 mm");
  const [text, setText] = createSignal(`${heading()}\n`);
  const { refused, make } = changesFromHere();
  const pointer = () => `${props.pointer}/as_made`;

  function read(file: File | undefined): void {
    if (file) void file.text().then(setText);
  }
  /** A table pasted over the heading is in the units that stood there. */
  const whole = (): string => (/[a-z]/i.test(text().trim().split(/\r?\n/)[0] ?? "") ? text() : `${heading()}\n${text()}`);
  function take(e: SubmitEvent): void {
    e.preventDefault();
    if (text().trim() === "" || text().trim() === heading()) return;
    void make([{ set: pointer(), value: { csv: whole() } }], () => {
      say("The readings were taken.");
      props.done();
    });
  }
  return (
    <form
      class="bring-in readings"
      onSubmit={take}
      onDragOver={(e) => e.preventDefault()}
      onDrop={(e) => {
        e.preventDefault();
        read(e.dataTransfer?.files[0]);
      }}
    >
      <p>
        One reading a line: the place along the edge, from where the seam enters the wood, and how far the edge stands proud
        (+) of what was meant, or lies low (−). The first line names both units: mm, cm, in, 0.01 mm, 0.001 in.
      </p>
      <label>
        <span>A file</span>
        <input type="file" accept=".csv,.txt" onChange={(e) => read(e.currentTarget.files?.[0])} />
      </label>
      <label class="block">
        <span>or the readings</span>
        <textarea rows="5" spellcheck={false} value={text()} onInput={(e) => setText(e.currentTarget.value)} />
      </label>
      <Told problem={refused()} />
      <p class="presses">
        <button type="submit">Take these readings</button>
        <Show when={props.measured}>
          <button
            type="button"
            class="quiet"
            onClick={() =>
              void make([{ set: pointer(), value: null }], () => {
                say("The readings were forgotten.");
                props.done();
              })
            }
          >
            Forget the readings there are
          </button>
        </Show>
      </p>
    </form>
  );
}
