import type { Check } from './check.js';
import { counted } from './episodes.js';
import { rejectionFinding } from './unreadable.js';

/** Time stamps of a clock that was never set. */
export const clock: Check = {
  name: 'clock',
  looksFor: 'time stamps of a clock that was not set',
  method:
    'Stamps before 1990 or after 2099 come from a clock that started at its zero and was never told the time. ' +
    'When the reading was taken cannot be known, so the line is rejected and kept verbatim with --rejects.',
  source:
    'clocks start at 1970-01-01 without network time: reports of users of such boards; the limits are our own',
  advice:
    'let the logger fetch the network time before its first reading, or let the server stamp the readings',
  *run({ rejections }) {
    for (const rejection of rejections) {
      if (rejection.reason !== 'clock') continue;
      yield rejectionFinding('clock', rejection, 'warning', {
        message: `${counted(rejection.count, 'line')} stamped by a clock that was not set`,
      });
    }
  },
};
