// A count over a window as a rate a minute, rounded as the board rounds it. Pure.

export const perMinute = (count, seconds) => Math.floor((count * 60 + Math.floor(seconds / 2)) / seconds);
