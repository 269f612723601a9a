import { InputError } from '../errors.js';

/** An input that holds no temperature: no log of readings, but perhaps one of heartbeats. */
export class NoValues extends InputError {}
