// Above the boards: what the next press on one draws. Under a board: what can be done with the piece that was pressed.
import { For, Show } from "solid-js";
import { change } from "../bench";
import type { BoardView, PartOnBoard } from "../protocol";
import { type Draws, chosen, draw, draws, dropLine, fewest, finishLine, keyOf, lay, leaveToPlan, line, setChosen } from "./boardWork";

const kinds: [Draws, string][] = [
  ["knot", "a knot"],
  ["check", "a check"],
  ["sapwood", "sapwood"],
  ["wane", "wane"],
  ["other", "another spot"],
  ["grain", "a line along the grain"],
];

export function BoardTools() {
  return (
    <div class="board-tools">
      <label>
        On the boards{" "}
        <select value={draws() ?? ""} onChange={(e) => draw((e.currentTarget.value || null) as Draws | null)}>
          <option value="">move pieces</option>
          <For each={kinds}>{([what, says]) => <option value={what}>draw {says}</option>}</For>
        </select>
      </label>
      <Show when={draws()}>
        {(what) => (
          <p class="presses">
            <span>
              {what() === "grain"
                ? "Press along the fibres from place to place."
                : "Press around the spot from corner to corner."}
            </span>
            <button type="button" disabled={(line()?.through.length ?? 0) < fewest(what())} onClick={finishLine}>
              Keep it
            </button>
            <button type="button" class="quiet" disabled={!line()} onClick={dropLine}>
              Begin again
            </button>
            <button type="button" class="quiet" onClick={() => draw(null)}>
              Done drawing
            </button>
          </p>
        )}
      </Show>
    </div>
  );
}

export function PartTools(props: { board: BoardView }) {
  const part = (): PartOnBoard | undefined => props.board.parts.find((p) => keyOf(p) === chosen());
  return (
    <>
      <Show when={part()}>
        {(p) => (
          <p class="presses part-tools">
            <b>{p().name}</b>
            <span>{p().by_hand ? "laid by hand" : "laid by the plan"}</span>
            <button type="button" onClick={() => lay(p(), props.board.name, p().at, { turned: !p().turned })}>
              Turn end for end
            </button>
            <button type="button" onClick={() => lay(p(), props.board.name, p().at, { over: !p().over })}>
              {p().over ? "Turn face up" : "Turn face down"}
            </button>
            <Show
              when={p().by_hand}
              fallback={
                <button type="button" onClick={() => lay(p(), props.board.name, p().at)}>
                  Hold it here
                </button>
              }
            >
              <button type="button" onClick={() => leaveToPlan(p())}>
                Leave it to the plan
              </button>
            </Show>
            <button type="button" class="quiet" onClick={() => setChosen("")}>
              Close
            </button>
          </p>
        )}
      </Show>
      <Show when={props.board.fibres !== "" && part() === undefined && draws() === "grain"}>
        <p class="presses part-tools">
          <button type="button" onClick={() => void change([{ set: `${props.board.pointer}/grain_lines`, value: null }])}>
            Take the grain lines of {props.board.name} away
          </button>
        </p>
      </Show>
    </>
  );
}
