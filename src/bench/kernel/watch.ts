/**
 * Tells a kernel that hangs from one that works long: by silence. Every larger piece of work sends a pulse, so silence is
 * one single call into the kernel; how long honest ones last on this machine is learned as they go by.
 * Stops being true: a hang that goes on sending pulses is never noticed.
 */

/** ms of silence taken for a hang, where nothing longer was ever heard. */
const leastSilence = 1200;
/** A silence this many times longer than the longest honest one is a hang. */
const times = 2.5;
/** ms. However slow the machine, nobody waits longer than this for a kernel to be called hung. */
const mostSilence = 5000;
/** Work that was called hung once is given this many times longer the second time: it may have been honest. */
const patient = 8;
/** ms between looks. */
const every = 150;

export interface Watch {
  /** How long this machine took to open a kernel: the first hint of how fast it is. */
  opened(ms: number): void;
  /** An answer is owed from now on. `again`: for work that was given up once. */
  begin(again: boolean): void;
  heard(): void;
  end(): void;
  /** Something newer waits: no more than the ordinary patience with what is under way. */
  hurry(): void;
}

export function makeWatch(bark: () => void, now: () => number = () => performance.now()): Watch {
  let limit = leastSilence;
  let heardAt = 0;
  let looked = 0;
  let long = false;
  let timer: ReturnType<typeof setInterval> | undefined;

  function look(): void {
    const time = now();
    // A lid closed or a tab put to sleep stops page and kernel alike: only time awake counts.
    const asleep = time - looked - every;
    if (asleep > every) heardAt += asleep;
    looked = time;
    if (time - heardAt <= limit * (long ? patient : 1)) return;
    stop();
    bark();
  }

  function stop(): void {
    clearInterval(timer);
    timer = undefined;
  }

  const allow = (silence: number): void => void (limit = Math.min(mostSilence, Math.max(limit, times * silence)));

  function heard(): void {
    const time = now();
    if (timer !== undefined && !long) allow(time - heardAt);
    heardAt = time;
  }

  return {
    opened: allow,
    begin(again) {
      long = again;
      heardAt = looked = now();
      timer ??= setInterval(look, every);
    },
    heard,
    end() {
      if (timer !== undefined) heard();
      stop();
    },
    hurry: () => (long = false),
  };
}
