import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../../test/library.js';
import { testPractice } from '../../../test/practice.js';
import { citeKey, citesIn, practiceCites, readCite, readPractice, unreadCites } from './index.js';

const library = testLibrary();
const practice = testPractice();

describe('practice records', () => {
  it('every step says why, how it ends, which practice covers it and where that is written', () => {
    for (const step of practice.steps.values()) {
      for (const text of [step.why, step.endsWhen, step.practice])
        expect(text.length, step.id).toBeGreaterThan(5);
      expect(readCite(practice.sources, step.cite).text, step.id).toMatch(/\S/);
    }
  });

  it('what the bath text names, the checker is told', () => {
    for (const { id, bath, kind } of practice.steps.values()) {
      const text = bath.text.replace(/no chloride|a trace of chloride|cyanide-free/g, '');
      expect(text, id).not.toMatch(/cyanide|nitric|fluor|chromic|bleach/i);
      if (kind === 'mechanical' || kind === 'hook') continue;
      for (const [word, chemistry] of [
        [/hydrochloric/i, 'hydrochloric'],
        [/sulfuric/i, 'sulfuric'],
        [/sulfamic/i, 'sulfamic'],
        [/caustic/i, 'caustic'],
        [/chloride/i, 'chloride'],
        [/sulfite/i, 'sulfite'],
      ] as const)
        if (word.test(text)) expect(bath.contains, `${id} names ${chemistry}`).toContain(chemistry);
    }
  });

  it('no name stands for two substrates or two deposits', () => {
    for (const map of [practice.substrates, practice.deposits]) {
      const names = [...map.values()].flatMap((e) => [e.id, e.name, ...e.names]).map((n) => n.toLowerCase());
      const twice = names.filter((n, i) => names.indexOf(n) !== i);
      // An entry may repeat its own id as its name.
      expect(
        twice.filter((n) => ![...map.values()].some((e) => e.id === n && e.name.toLowerCase() === n)),
      ).toEqual([]);
    }
  });

  it('tells a source that was read from one that is remembered', () => {
    const kind = (cite: string) => readCite(practice.sources, cite).kind;
    expect(kind('guidebook-2013 @ p.57 table I')).toBe('printed');
    expect(kind('guidebook-2013 @ p.57, times from memory')).toBe('assumed');
    expect(kind('from-memory')).toBe('assumed');
    expect(kind('astm-b281 @ scope as abstracted')).toBe('abstract');
    expect(kind('common-practice')).toBe('common-practice');
    expect(kind('judgement @ wide on purpose')).toBe('judged');
  });

  it('finds an unknown source, a missing name and a broken quantity', () => {
    const others = structuredClone(library.others) as { path: string; content: Record<string, unknown[]> }[];
    const steps = others.find((f) => f.path.endsWith('steps.yaml'))!.content.steps as Record<
      string,
      unknown
    >[];
    steps[0]!.cite = 'nobody @ nowhere';
    steps[1]!.pauseBefore = '5';
    steps[2]!.covers = ['adamant'];
    const read = readPractice({ sources: library.sources, others });
    const codes = read.ok ? [] : read.problems.map((p) => p.code);
    expect(codes).toEqual(expect.arrayContaining(['source-unknown', 'record-shape']));
    steps[1]!.pauseBefore = '5 s';
    const again = readPractice({ sources: library.sources, others });
    expect(again.ok ? [] : again.problems.map((p) => p.code)).toContain('name-unknown');
  });

  it('cites only sources that exist', () => {
    for (const { content, path } of library.others)
      for (const { cite } of citesIn(content, path))
        if (practice.sources.size > 0 && /substrates|preparations|deposits|symptoms|hazards/.test(path))
          expect(library.sources.has(citeKey(cite)), `${path} ${cite}`).toBe(true);
  });

  it('lists what nobody has checked against a page', () => {
    const all = practiceCites(library);
    const unread = unreadCites(library);
    expect(all.length).toBeGreaterThan(300);
    expect(unread.length).toBeGreaterThan(100);
    expect(unread.length).toBeLessThan(all.length);
    expect(unread.map((u) => u.where)).toContain('preparations/steps.yaml soak-alkali');
    expect(unread.map((u) => u.where)).not.toContain('preparations/steps.yaml electroclean-nickel.current');
    for (const { cite } of all) expect(cite.text.length).toBeGreaterThan(5);
  });
});
