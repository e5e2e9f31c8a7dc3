// How long a drag takes from hand to eye, kept for the tests; the maker never sees it.

export interface Frame {
  pointer_ms: number; // when the pointer event happened
  engine_us: number; // what the program spent on it, measured there
  applied_ms: number; // when the answer stood in the document
  painted_ms: number; // when the next animation frame had been laid out and painted
}
export interface FrameStart {
  pointer_ms: number;
}

declare global {
  interface Window {
    seamwrightFrames: Frame[];
  }
}

const kept = 2000; // of the last drags; a test reads them long before
const frames: Frame[] = [];
window.seamwrightFrames = frames;

export const frameStart = (event: Event): FrameStart => ({ pointer_ms: event.timeStamp });

export function frameApplied(start: FrameStart, engine_us: number): void {
  const applied_ms = performance.now();
  requestAnimationFrame(() => {
    // A task posted from a frame's callback runs right after that frame's layout and paint.
    const channel = new MessageChannel();
    channel.port1.onmessage = () => {
      frames.push({ pointer_ms: start.pointer_ms, engine_us, applied_ms, painted_ms: performance.now() });
      if (frames.length > kept) frames.splice(0, frames.length - kept);
      channel.port1.close();
    };
    channel.port2.postMessage(null);
  });
}
