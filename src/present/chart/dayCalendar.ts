import type { DayCalendar } from '../../report/document.js';
import { html, type Markup } from '../htmlMarkup.js';
import { percent } from './frame.js';

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const;

/**
 * Days in weeks: a list that is laid out like a calendar where there is room, and one day under the
 * other on a telephone. Each day is filled like a vessel: water to its share, and from the other end
 * hatched as far as the day is not known.
 */
export function dayCalendar(calendar: DayCalendar, id: string): Markup {
  const days = calendar.days.map((day, i) => {
    const share = day.share === null ? 0 : day.share;
    const fill = `--share:${percent(share)};--unknown:${percent(1 - day.known)}`;
    const classes = `day-${day.weekday}${day.known < 1 ? ' partly' : ''}`;
    const lines = day.lines.map((line) => html`<span>${line}</span>`);
    return html`<li class="${classes}" style="${fill}"><time datetime="${day.date}">${dateText(day.date, day.weekday, i === 0)}</time><div>${lines}</div></li>
`;
  });
  return html`<figure class="chart"><figcaption><strong id="${id}">${calendar.title}</strong> ${calendar.words}</figcaption>
<ul class="key"><li><span class="vessel" style="--share:60%;--unknown:0%"></span> ${calendar.meaning}</li><li><span class="vessel" style="--share:0%;--unknown:100%"></span> unknown</li></ul>
<div class="weekdays" aria-hidden="true">${WEEKDAYS.map((name) => html`<span>${name}</span>`)}</div><ol class="days">
${days}</ol></figure>
`;
}

/** `Mon 27 Oct`, of which a calendar with columns for weekdays shows `27`, and the month where it begins. */
function dateText(date: string, weekday: number, isFirst: boolean): Markup {
  const day = Number(date.slice(8));
  const month = MONTHS[Number(date.slice(5, 7)) - 1] ?? '';
  const named = isFirst || day === 1;
  return html`<span class="weekday">${WEEKDAYS[weekday - 1] ?? ''} </span>${day}<span class="${named ? '' : 'month'}"> ${month}</span>`;
}
