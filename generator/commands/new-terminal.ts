import { createInterface, type Interface } from "node:readline";

/** Somebody at a terminal, who can be asked. */
export interface Seat {
  /** Their answer without its line end; undefined once they have left by Ctrl-C or the end of the input. */
  readonly ask: (question: string) => Promise<string | undefined>;
  /** Lets go of the terminal, so that the program can end. */
  readonly close: () => void;
}

/** The seat at a terminal. Nothing is read before the first question; lines that are typed ahead wait for theirs. */
export function seatAt(input: NodeJS.ReadableStream, output: NodeJS.WritableStream): Seat {
  const ahead: string[] = [];
  let lines: Interface | undefined;
  let left = false;
  let waiting: ((answer: string | undefined) => void) | undefined;
  const give = (answer: string | undefined) => {
    const wanted = waiting;
    waiting = undefined;
    if (wanted) wanted(answer);
    else if (answer !== undefined) ahead.push(answer);
  };
  const open = () => {
    const opened = createInterface({ input, output, terminal: true });
    opened.on("line", give);
    opened.on("close", () => {
      left = true;
      give(undefined);
    });
    return opened;
  };
  return {
    ask(question) {
      lines ??= open();
      const first = ahead.shift();
      if (first !== undefined) return Promise.resolve(first);
      if (left) return Promise.resolve(undefined);
      lines.setPrompt(question);
      lines.prompt();
      return new Promise((resolve) => {
        waiting = resolve;
      });
    },
    close: () => lines?.close(),
  };
}

/** The terminal that the program was called from; undefined when its input is no terminal, so that nobody can answer. */
export function terminal(): Seat | undefined {
  return process.stdin.isTTY ? seatAt(process.stdin, process.stderr) : undefined;
}
