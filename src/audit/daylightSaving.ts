import type { Check } from './check.js';
import { counted } from './episodes.js';
import { rejectionFinding } from './unreadable.js';

/** Stamps in the hour that the clocks of the zone jump over. */
export const daylightSaving: Check = {
  name: 'daylight_saving',
  looksFor: 'time stamps in the hour that is skipped when daylight saving time begins',
  method:
    'A stamp without offset is local to the zone of the log. One that the clocks of that zone never showed ' +
    'cannot be placed: the line is rejected and kept verbatim with --rejects.',
  source: 'IANA time zone data, as the runtime carries them',
  advice:
    'a logger that is kept on fixed time shows this every spring: read it with its fixed offset, such as --zone +00:00',
  *run({ rejections }) {
    for (const rejection of rejections) {
      if (rejection.reason !== 'skipped_hour') continue;
      yield rejectionFinding('daylight_saving', rejection, 'error', {
        message:
          `${counted(rejection.count, 'line')} stamped in an hour that did not exist in ${rejection.detail}; ` +
          'if the logger keeps fixed time, read it with a fixed offset (--zone)',
      });
    }
  },
};
