/** What a command may touch besides the disk: where it was called, and where it speaks. */
export interface World {
  readonly cwd: string;
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Asks whoever sits at the terminal; undefined once they have left. Absent where nobody can be asked. */
  readonly ask?: (question: string) => Promise<string | undefined>;
}

/** One verb of the command line. */
export interface Command {
  readonly name: string;
  /** In one line, for the list of commands. */
  readonly summary: string;
  /** Usage, options and an example. */
  readonly help: string;
  /** Gives the exit code: 0 well, 1 problems in the records, 2 called wrongly, 3 refused. */
  run(args: readonly string[], world: World): Promise<number>;
}

/** A command called in a way that makes no sense; its message is the one line that people see. */
export class Misuse extends Error {}
