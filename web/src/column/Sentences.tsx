// Sentences with blanks, and presses at their end.
import { Index, Match, Switch } from "solid-js";
import { changesFromHere } from "../bench";
import type { Card, Field, Press } from "../protocol";
import { Blank } from "./Blank";
import { Told } from "./Told";

type Part = string | Field | Press;
const pressIn = (part: Part): Press | undefined => (typeof part !== "string" && "edits" in part ? part : undefined);
const fieldIn = (part: Part): Field | undefined => (typeof part !== "string" && "pointer" in part ? part : undefined);

function CardPress(props: { press: Press }) {
  const { refused, make } = changesFromHere();
  let button!: HTMLButtonElement;
  function act(): void {
    const around = button.closest(".sentences");
    void make(props.press.edits).then((taken) => {
      // What was begun can be filled in at once; what was pressed may be gone.
      if (taken && !button.isConnected) around?.querySelector<HTMLElement>("input, select, button")?.focus();
    });
  }
  return (
    <>
      {" "}
      <button type="button" class="quiet" ref={button} onClick={act}>
        {props.press.says}
      </button>
      <Told problem={refused()} />
    </>
  );
}

export function Sentences(props: { card: Card }) {
  return (
    <div class="sentences">
      <Index each={props.card.sentences}>
        {(sentence) => (
          <p>
            <Index each={sentence()}>
              {(part) => (
                <Switch fallback={part() as string}>
                  <Match when={fieldIn(part())}>{(field) => <Blank field={field()} />}</Match>
                  <Match when={pressIn(part())}>{(press) => <CardPress press={press()} />}</Match>
                </Switch>
              )}
            </Index>
          </p>
        )}
      </Index>
    </div>
  );
}
