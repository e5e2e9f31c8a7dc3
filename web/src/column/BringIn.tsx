// A curve from elsewhere: SVG path data or a list of points.
import { Show, createSignal } from "solid-js";
import { changesFromHere, picture, say, settled } from "../bench";
import { choose, seamIndex } from "../choice";
import { isPicture, tracePictures } from "../picture/tracing";
import { server } from "../server";
import { Told } from "./Told";

export function BringIn() {
  const [text, setText] = createSignal("");
  const [unit, setUnit] = createSignal(settled()?.unit ?? "mm");
  const [name, setName] = createSignal("");
  const [into, setInto] = createSignal("new");
  const { refused, make } = changesFromHere();

  function read(files: FileList | undefined | null): void {
    const file = files?.[0];
    if (!file) return;
    if (isPicture(file)) {
      tracePictures([...(files ?? [])].filter(isPicture));
      return;
    }
    void file.text().then((content) => {
      setText(content);
      if (name() === "") setName(file.name.replace(/\.[^.]*$/, ""));
    });
  }
  /** A whole SVG file may be dropped: the data of its first path is what counts. */
  function pathData(content: string): string | null {
    if (/^\s*[Mm]/.test(content)) return content.trim();
    if (!/<svg|<path/i.test(content)) return null;
    const found = new DOMParser().parseFromString(content, "image/svg+xml").querySelector("path[d]");
    return found?.getAttribute("d") ?? null;
  }
  function bring(e: SubmitEvent): void {
    e.preventDefault();
    const content = text().trim();
    if (content === "") return;
    const path = pathData(content);
    const target = into() === "new" ? "" : (picture()?.seams[seamIndex()]?.pointer ?? "");
    void make([{ import: target, ...(path ? { svg_path: path } : { csv: content }), unit: unit(), name: name().trim() }], (screen) => {
      setText("");
      if (target === "") choose({ what: "seam", index: screen.seams.length - 1 });
      say("The curve was brought in.");
    });
  }
  return (
    <form class="bring-in" onSubmit={bring} onDragOver={(e) => e.preventDefault()} onDrop={(e) => { e.preventDefault(); read(e.dataTransfer?.files); }}>
      <p>
        Drop a file here or paste what it holds: the data of an SVG path, or one point a line as x, y. A photo of a drawing
        with reference marks, or scans of it, are traced.{" "}
        <Show when={settled()}>
          {(job) => (
            <a href={server.paperAddress(job().id, "reference-marks.pdf")} download="">
              Marks to print
            </a>
          )}
        </Show>
      </p>
      <label>
        <span>A file</span>
        <input
          type="file"
          multiple
          accept=".svg,.csv,.txt,.jpg,.jpeg,.png,image/jpeg,image/png"
          onChange={(e) => {
            read(e.currentTarget.files);
            e.currentTarget.value = "";
          }}
        />
      </label>
      <label class="block">
        <span>or its content</span>
        <textarea rows="3" spellcheck={false} value={text()} onInput={(e) => setText(e.currentTarget.value)} placeholder="M 0 120 C 400 180 …" />
      </label>
      <p class="row">
        <label>
          <span>measured in</span>
          <select value={unit()} onChange={(e) => setUnit(e.currentTarget.value as "mm" | "in")}>
            <option value="mm">mm</option>
            <option value="cm">cm</option>
            <option value="in">inches</option>
          </select>
        </label>
        <label>
          <span>for</span>
          <select value={into()} onChange={(e) => setInto(e.currentTarget.value)}>
            <option value="new">a new seam</option>
            <Show when={picture()?.seams[seamIndex()]}>{(seam) => <option value="this">{seam().name}</option>}</Show>
          </select>
        </label>
        <label>
          <span>called</span>
          <input type="text" value={name()} onInput={(e) => setName(e.currentTarget.value)} />
        </label>
      </p>
      <Told problem={refused()} />
      <p class="presses">
        <button type="submit">Bring it in</button>
      </p>
    </form>
  );
}
