// How long a drag takes from hand to eye, kept for the tests; the maker never sees it.

export interface Frame {
  pointer_ms: number; // when the pointer moved, as its event says
  handed_ms: number; // when the browser handed the event to the page: at the beginning of a frame
  engine_us: number; // what the program spent on it, measured there
  applied_ms: number; // when the answer stood in the document
  painted_ms: number; // when the next animation frame had been laid out and painted
}
export type FrameStart = Pick<Frame, "pointer_ms" | "handed_ms">;

declare global {
  interface Window {
    seamwrightFrames: Frame[];
  }
}

const kept = 2000; // of the last drags; a test reads them long before
const frames: Frame[] = [];
window.seamwrightFrames = frames;

export const frameStart = (event: Event): FrameStart => ({ pointer_ms: event.timeStamp, handed_ms: performance.now() });

export function frameApplied(start: FrameStart, engine_us: number): void {
  const applied_ms = performance.now();
  afterPaint(() => {
    frames.push({ ...start, engine_us, applied_ms, painted_ms: performance.now() });
    if (frames.length > kept) frames.splice(0, frames.length - kept);
  });
}

function afterPaint(then: () => void): void {
  requestAnimationFrame(() => {
    // A task posted from a frame's callback runs right after that frame's layout and paint.
    const channel = new MessageChannel();
    channel.port1.onmessage = () => {
      then();
      channel.port1.close();
    };
    channel.port2.postMessage(null);
  });
}
