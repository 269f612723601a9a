// biome-ignore-all lint/suspicious/noConstEnum: they are put in as numbers, also by the compiler of `marginLook.as.ts`

/** What `marginLook.ts` and `marginLook.as.ts` say to each other. */

/** What is said of the step from a row to the next one. */
export const enum Step {
  /** Rows in between, a sunset or sunrise, a model that has not settled; or nothing is known. */
  other,
  /** Both courses run undisturbed to the next row. */
  even,
}

/** The code of an even step has, from the lowest on, a bit for each level that it is below from end to end. */
export const enum Code {
  /** This many further up stands one for each that it may cross. */
  crossed = 8,
  /** No step that is not even has the code of an even one. */
  notEven = 32768,
}

/** Lines that a surface is held against, at most. */
export const enum Most {
  lines = 4,
}

/**
 * Temperatures are held against each other in integers: their signs tell sides without a branch, which for a surface near
 * to being wet nobody could foretell, and what is kept of a line is half as long.
 */
export const enum Scale {
  perKelvin = 65536,
  /** What is further from 0 °C counts as if it were there, so that differences have a sign in 32 bits [K]. */
  furthest = 4000,
  /** What was cut off a surface's temperature, a line and a level above it, off how far it strays, and one to spare. */
  cutOff = 5,
  /** Stands for a deposit point that is missing, and for a margin of which nothing is known. */
  missing = -2147483648,
}
