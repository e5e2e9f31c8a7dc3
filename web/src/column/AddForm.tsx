// A press that opens a small form: what is asked, and the press that takes it.
import { Show, createSignal, type JSX } from "solid-js";
import type { Problem } from "../protocol";
import { Told } from "./Told";

/** `add` tells whether it was taken; nothing while something is still to be filled in. */
export function AddForm(props: {
  opens: JSX.Element;
  takes: string;
  refused: Problem | undefined;
  add: () => Promise<boolean> | undefined;
  children: JSX.Element;
}) {
  const [open, setOpen] = createSignal(false);
  function submit(e: SubmitEvent): void {
    e.preventDefault();
    void props.add()?.then((taken) => {
      if (taken) setOpen(false);
    });
  }
  return (
    <Show
      when={open()}
      fallback={
        <button type="button" class="quiet" onClick={() => setOpen(true)}>
          {props.opens}
        </button>
      }
    >
      <form class="add" onSubmit={submit}>
        {props.children}
        <Told problem={props.refused} />
        <p class="presses">
          <button type="submit">{props.takes}</button>
          <button type="button" class="quiet" onClick={() => setOpen(false)}>
            Leave it
          </button>
        </p>
      </form>
    </Show>
  );
}
