import type { Zone } from '../calendar/zone.js';
import { arrivalsOf } from '../outages/arrivals.js';
import { availabilityOf, siteAvailability } from '../outages/availability.js';
import { type Device, watchOver } from '../outages/device.js';
import { outagesOf } from '../outages/together.js';
import type { OutagesReport } from '../report/outagesReport.js';
import type { Instant } from '../units.js';
import type { BeatIntake } from './beats.js';
import type { Intake, RawWork } from './intake.js';

/**
 * Readings crossed with heartbeats, for all loggers that have either.
 *
 * @param asked ids of `--logger`; undefined: all
 */
export function outagesSeen(
  intake: Intake<RawWork>,
  beats: BeatIntake,
  asked: readonly string[] | undefined,
): OutagesReport {
  const { works, site, zone } = intake;
  // a logger of which no file was there has no readings to miss
  const read = works.filter(({ reading }) => reading.lines.total > 0);
  const order = site.loggers.map(({ id }) => id);
  const ids = new Set(read.map(({ reading }) => reading.log.logger));
  for (const id of beats.folders.keys()) if (asked === undefined || asked.includes(id)) ids.add(id);
  const place = (id: string) => (order.includes(id) ? order.indexOf(id) : order.length);
  const sorted = [...ids].sort((a, b) => place(a) - place(b));
  const devices = sorted.map((id) =>
    deviceOf(
      id,
      read.find(({ reading }) => reading.log.logger === id),
      read,
      beats,
      zone,
    ),
  );
  const watch = watchOver(devices, intake.window);
  const outages = watch === null ? [] : outagesOf(devices, watch, zone);
  const loggers = watch === null ? [] : devices.map((device) => availabilityOf(device, outages, watch));
  return {
    zone,
    watch,
    outages,
    loggers,
    site: siteAvailability(loggers, outages),
    cadences: new Map(
      devices.flatMap(({ logger, beats }) => (beats === null ? [] : [[logger, beats.cadence] as const])),
    ),
    sources: beats.sources,
  };
}

function deviceOf(
  id: string,
  work: RawWork | undefined,
  works: readonly RawWork[],
  { folders, sources, lastBeats }: BeatIntake,
  zone: Zone,
): Device {
  const mine = sources.flatMap((source, i) =>
    source.loggers.has(id) ? [{ last: lastBeats[i]!, zone: source.zone }] : [],
  );
  const sharing = works.filter(
    (other) =>
      work !== undefined && other.reading.log.sources.some((s) => work.reading.log.sources.includes(s)),
  );
  const isLocal = work?.reading.parts.some(
    ({ assumed }) => assumed.zone_of_stamps !== null && /local$/.test(assumed.time ?? ''),
  );
  return {
    logger: id,
    beats: folders.get(id)?.result() ?? null,
    arrivals:
      work === undefined
        ? null
        : arrivalsOf(work.audit, work.cleaned, work.reading.around, work.reading.rejections),
    beatsReach: latest(mine.map(({ last }) => last)),
    readingsReach: latest(sharing.flatMap(({ reading: { log } }) => log.time[log.length - 1] ?? [])),
    beatsZone: mine.find((source) => source.zone !== null)?.zone ?? null,
    readingsZone: isLocal === true ? (work?.logger.zone ?? zone) : null,
  };
}

function latest(instants: readonly Instant[]): Instant | null {
  return instants.length === 0 ? null : Math.max(...instants);
}
