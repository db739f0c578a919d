import type { Page } from '@playwright/test';

/** What of a page cannot be reached or read, each as one line; empty: nothing. */
export type Offences = Promise<readonly string[]>;

/**
 * What stands over the page's sides, and words that their own box cuts off. What scrolls in a box of its own, and what is only
 * read aloud, is left out.
 */
export const cutOff = (page: Page): Offences =>
  page.evaluate(() => {
    const found: string[] = [];
    const root = document.documentElement;
    if (root.scrollWidth > root.clientWidth)
      found.push(`the page scrolls sideways: ${root.scrollWidth} of ${root.clientWidth} px`);
    const nameOf = (element: Element) =>
      `${element.tagName.toLowerCase()}.${[...element.classList].slice(0, 3).join('.')} “${(element.textContent ?? '').trim().slice(0, 40)}”`;
    const inBox = (element: Element, holds: (style: CSSStyleDeclaration) => boolean) => {
      for (let at = element.parentElement; at; at = at.parentElement)
        if (holds(getComputedStyle(at))) return true;
      return false;
    };
    for (const element of document.body.querySelectorAll<HTMLElement>('*')) {
      if (element.closest('.sr-only, svg, [hidden], .skip') || !element.checkVisibility()) continue;
      const hasWords = [...element.childNodes].some(
        (node) => node.nodeType === Node.TEXT_NODE && (node.textContent ?? '').trim() !== '',
      );
      if (!hasWords) continue;
      const style = getComputedStyle(element);
      const rect = element.getBoundingClientRect();
      if (rect.width <= 1 || rect.height <= 1) continue;
      const isScrolled = inBox(element, ({ overflowX }) => overflowX === 'auto' || overflowX === 'scroll');
      if (!isScrolled && (rect.right > root.clientWidth + 1 || rect.left < -1))
        found.push(
          `${nameOf(element)} stands over the side: ${rect.left.toFixed(0)} to ${rect.right.toFixed(0)} px`,
        );
      const cuts = (overflow: string) => overflow === 'hidden' || overflow === 'clip';
      if (
        (cuts(style.overflowX) && element.scrollWidth > element.clientWidth + 1) ||
        (cuts(style.overflowY) && element.scrollHeight > element.clientHeight + 1)
      )
        found.push(`${nameOf(element)} is cut off by its own box`);
      if (element.matches('button, a, select') && style.display !== 'inline')
        if (element.scrollWidth > element.clientWidth + 2 && !cuts(style.overflowX))
          found.push(`${nameOf(element)} is wider than what can be pressed`);
    }
    return [...new Set(found)];
  });

/** What moves by itself or on the way from one state to the next. */
export const moving = (page: Page): Offences =>
  page.evaluate(() => {
    const found = document
      .getAnimations()
      .map(
        (animation) =>
          `an animation runs: ${'animationName' in animation ? animation.animationName : animation.id}`,
      );
    for (const element of document.querySelectorAll('*')) {
      for (const pseudo of [null, '::before', '::after']) {
        const style = getComputedStyle(element, pseudo);
        const name = `${element.tagName.toLowerCase()}.${[...element.classList].slice(0, 3).join('.')}${pseudo ?? ''}`;
        const lasts = (durations: string) => durations.split(',').some((each) => Number.parseFloat(each) > 0);
        if (style.animationName !== 'none' && lasts(style.animationDuration))
          found.push(`${name} is animated`);
        if (lasts(style.transitionDuration)) found.push(`${name} goes over from state to state`);
        if (style.scrollBehavior === 'smooth') found.push(`${name} scrolls smoothly`);
      }
    }
    return [...new Set(found)];
  });

/** Put into a page before its own scripts: every scroll that was asked to be smooth is noted. */
export function noteSmoothScrolls(): void {
  const noted: string[] = [];
  Object.assign(window, { smoothScrolls: noted });
  for (const name of ['scrollIntoView', 'scrollTo', 'scrollBy', 'scroll'] as const)
    for (const thing of [Element.prototype, window]) {
      const own: unknown = Reflect.get(thing, name);
      if (typeof own !== 'function') continue;
      Reflect.set(thing, name, function (this: unknown, ...given: unknown[]) {
        for (const each of given)
          if (typeof each === 'object' && each !== null && Reflect.get(each, 'behavior') === 'smooth')
            noted.push(`${name}, asked to be smooth`);
        return Reflect.apply(own, this, given);
      });
    }
}

export const smoothScrolls = (page: Page): Offences =>
  page.evaluate(() => {
    const noted: unknown = Reflect.get(window, 'smoothScrolls');
    return Array.isArray(noted) ? noted.map(String) : ['nothing was noted'];
  });

/**
 * What is pressed that is smaller than 24 by 24 px and has not that much room round it.
 *
 * Source: WCAG 2.2, success criterion 2.5.8 (Target Size, Minimum): a circle of 24 px on the middle of a smaller target must meet no
 * other target, nor the circle of another smaller one; links in a sentence are left out, and so is what the browser draws.
 */
export const tooSmall = (page: Page): Offences =>
  page.evaluate(() => {
    const SIZE = 24;
    const controls = 'a[href], button, input, select, textarea, summary, [role="button"], [role="radio"]';
    const isInSentence = (element: Element) => {
      if (getComputedStyle(element).display !== 'inline') return false;
      const around = element.parentElement;
      return (around?.textContent ?? '').trim().length > (element.textContent ?? '').trim().length;
    };
    const targets = [...document.querySelectorAll<HTMLElement>(controls)]
      .filter((element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: false }))
      .filter(
        (element) => element.closest('.sr-only, [hidden], [inert]') === null && !element.matches(':disabled'),
      )
      .filter((element) => !(element instanceof HTMLInputElement && element.type === 'hidden'))
      .map((element) => {
        const label =
          element instanceof HTMLInputElement && ['checkbox', 'radio', 'file'].includes(element.type)
            ? (element.labels?.[0] ?? null)
            : null;
        const [own, more] = [element.getBoundingClientRect(), label?.getBoundingClientRect()];
        const left = Math.min(own.left, more?.left ?? own.left);
        const top = Math.min(own.top, more?.top ?? own.top);
        const right = Math.max(own.right, more?.right ?? own.right);
        const bottom = Math.max(own.bottom, more?.bottom ?? own.bottom);
        return { element, left, top, right, bottom, width: right - left, height: bottom - top };
      })
      .filter(({ width, height }) => width > 1 && height > 1);
    const isSmall = (one: (typeof targets)[number]) => one.width < SIZE - 0.5 || one.height < SIZE - 0.5;
    const middle = (one: (typeof targets)[number]) =>
      [(one.left + one.right) / 2, (one.top + one.bottom) / 2] as const;
    const found: string[] = [];
    for (const one of targets) {
      if (!isSmall(one) || isInSentence(one.element)) continue;
      const [x, y] = middle(one);
      const near = targets.find((other) => {
        if (other === one || other.element.contains(one.element) || one.element.contains(other.element))
          return false;
        if (isSmall(other)) {
          const [ox, oy] = middle(other);
          return Math.hypot(x - ox, y - oy) < SIZE - 0.5;
        }
        const dx = Math.max(other.left - x, 0, x - other.right);
        const dy = Math.max(other.top - y, 0, y - other.bottom);
        return Math.hypot(dx, dy) < SIZE / 2 - 0.5;
      });
      const name = one.element.getAttribute('aria-label') ?? one.element.textContent ?? '';
      if (near)
        found.push(
          `${one.element.tagName.toLowerCase()}.${one.element.className} “${name.trim().slice(0, 40)}” is ${one.width.toFixed(0)} by ${one.height.toFixed(0)} px, too near to “${(near.element.getAttribute('aria-label') ?? near.element.textContent ?? '').trim().slice(0, 30)}”`,
        );
    }
    return found;
  });

/**
 * Keys that are said of two different actions in sight at once. Lines and passes share one key each, by which the one in sight is meant:
 * their actions are called alike.
 */
export const doubledKeys = (page: Page): Offences =>
  page.evaluate(() => {
    const actions = new Map<string, Set<string>>();
    for (const element of document.querySelectorAll('[aria-keyshortcuts]')) {
      if (!element.checkVisibility()) continue;
      const key = element.getAttribute('aria-keyshortcuts') ?? '';
      const name = (element.getAttribute('aria-label') ?? element.textContent ?? '').split(':')[0] ?? '';
      actions.set(key, (actions.get(key) ?? new Set()).add(name));
    }
    return [...actions]
      .filter(([, names]) => names.size > 1)
      .map(([key, names]) => `${key}: ${[...names].join(' | ')}`);
  });
