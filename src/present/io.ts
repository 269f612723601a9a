/** A stream that may be a terminal. */
export interface Screen {
  readonly isTTY?: boolean;
  readonly columns?: number;
}

/** Everything of the outside world that a run may touch, so that a test can hand in its own. */
export interface Io {
  readonly stdin: NodeJS.ReadableStream & { readonly isTTY?: boolean };
  readonly stdout: NodeJS.WritableStream & Screen;
  readonly stderr: NodeJS.WritableStream & Screen;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Folder that relative paths start from. */
  readonly cwd: string;
  /** The present moment [ms since 1970 UTC]. */
  now(): number;
}
