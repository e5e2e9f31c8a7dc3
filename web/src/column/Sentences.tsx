// Sentences with blanks, and presses at their end.
import { Index, Match, Switch, createMemo } from "solid-js";
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

/** What a blank or a press shows is kept until it is taken off the page: it may be read once more while it goes. */
function PartOfSentence(props: { part: Part }) {
  const field = createMemo<Field | undefined>((last) => fieldIn(props.part) ?? last);
  const press = createMemo<Press | undefined>((last) => pressIn(props.part) ?? last);
  return (
    <Switch fallback={typeof props.part === "string" ? props.part : ""}>
      <Match when={fieldIn(props.part)}>
        <Blank field={field()!} />
      </Match>
      <Match when={pressIn(props.part)}>
        <CardPress press={press()!} />
      </Match>
    </Switch>
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
                <PartOfSentence part={part()} />
              )}
            </Index>
          </p>
        )}
      </Index>
    </div>
  );
}
