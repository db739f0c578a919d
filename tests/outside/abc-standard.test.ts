import { describe, expect, it } from 'vitest';
import { lengths, pitches, read, roadmap, tune, words } from '../unit/exchange/helpers';

// The ABC standard's sections were read as quoted in a public suite of conformance tests; each test names its section.

describe('pitch and length', () => {
  // Source: ABC standard 2.1, section 4.1: C is middle C; c, c' and C, lie octaves from it.
  it('reads octaves from middle C', async () => {
    const { song } = await read(tune("C, D, B, C D B c d b c' d' b' |"));
    expect(pitches(song)).toEqual([48, 50, 59, 60, 62, 71, 72, 74, 83, 84, 86, 95]);
  });

  // Source: ABC standard 2.1, section 4.2: ^ sharp, _ flat, = natural, doubled for double.
  it('reads accidentals', async () => {
    const { song } = await read(tune('^c =c | _c __c | ^^c |'));
    expect(pitches(song)).toEqual([73, 72, 71, 70, 74]);
  });

  // Source: ABC standard 2.1, section 11.3: by default an accidental holds for its letter in all octaves, to the end of the bar.
  it('keeps an accidental in all octaves to the end of the bar', async () => {
    expect(pitches((await read(tune('^cC c | c C |'))).song)).toEqual([73, 61, 73, 72, 60]);
    const octave = await read(tune('%%propagate-accidentals octave\n^cCc | c |'));
    expect(pitches(octave.song)).toEqual([73, 60, 73, 72]);
    const not = await read(tune('%%propagate-accidentals not\n^cCc |'));
    expect(pitches(not.song)).toEqual([73, 60, 72]);
  });

  // Source: ABC standard 2.1, section 4.3: a b2 c3/2 d3/ e/ with a unit of an eighth.
  it('reads lengths', async () => {
    const { song } = await read(tune('ab2c3/2d3/e/ A// |'));
    expect(lengths(song)).toEqual([480, 960, 720, 720, 240, 120]);
  });

  // Source: ABC standard 2.1, section 4.4: three lines that mean the same.
  it('reads broken rhythm as the lengths that it stands for', async () => {
    const sixteenths = await read(tune('a3b cd3 a2b2c2d2 |', 'M:4/4\nL:1/16\nK:C'));
    const eighths = await read(tune('a3/2b/2 c/2d3/2 abcd |'));
    const broken = await read(tune('a>b c<d abcd |'));
    expect(lengths(sixteenths.song)).toEqual([720, 240, 240, 720, 480, 480, 480, 480]);
    expect(lengths(eighths.song)).toEqual(lengths(sixteenths.song));
    expect(lengths(broken.song)).toEqual(lengths(sixteenths.song));
  });

  // Source: ABC standard 2.1, section 4.4: >> dots twice and quarters, >>> dots three times and divides by eight.
  it('reads double and triple broken rhythm', async () => {
    const { song } = await read(tune('e<<f g>>>a |', 'M:none\nL:1\nK:C'));
    expect(lengths(song)).toEqual([960, 6720, 7200, 480]);
  });

  // Source: ABC standard 2.1, section 4.12: A<{g}A and A{g}<A are equal to A/2{g}A3/2.
  it('lets grace notes pass through broken rhythm', async () => {
    for (const music of ['A<{g}A |', 'A{g}<A |', 'A/2{g}A3/2 |'])
      expect(lengths((await read(tune(music))).song)).toEqual([240, 720]);
  });

  // Source: ABC standard 2.1, section 4.13, the table of tuplets and (p:q:r.
  it('reads tuplets', async () => {
    const whole = (meter: string) => `M:${meter}\nL:1/4\nK:C`;
    const first = async (music: string, meter: string) =>
      lengths((await read(tune(music, whole(meter)))).song);
    expect(await first('(2ab c|', '4/4')).toEqual([1440, 1440, 960]);
    expect(await first('(3abc d|', '3/4')).toEqual([640, 640, 640, 960]);
    expect(await first('(4abcd e|', '4/4')).toEqual([720, 720, 720, 720, 960]);
    expect(await first('(5abcde f|', '4/4')).toEqual([384, 384, 384, 384, 384, 960]);
    expect(await first('(5abcde f|', '6/8')).toEqual([576, 576, 576, 576, 576, 960]);
    expect(await first('(3:4:6 abc abc d|', '4/4')).toEqual([1280, 1280, 1280, 1280, 1280, 1280, 960]);
    expect(await first('(3::2 a2 b c|', '4/4')).toEqual([1280, 640, 960]);
    expect(await first('(3 D3EF2|', '4/4')).toEqual([1920, 640, 1280]);
  });

  // Source: ABC standard 2.1, section 4.5: Z4| is equal to z4|z4|z4|z4| in 2/4.
  it('reads rests of several bars', async () => {
    const short = await read(tune('Z4|CD EF|GA Bc|', 'M:2/4\nL:1/8\nK:C'));
    const long = await read(tune('z4|z4|z4|z4|CD EF|GA Bc|', 'M:2/4\nL:1/8\nK:C'));
    const bars = (read: typeof short) => read.song.sections[0]?.bars.map((bar) => bar.ticks);
    expect(bars(short)).toEqual([1920, 1920, 1920, 1920, 1920, 1920]);
    expect(bars(short)).toEqual(bars(long));
    expect(pitches(short.song)).toEqual(pitches(long.song));
  });

  // Source: ABC standard 2.1, section 4.11: a tie joins two notes of one pitch, also across a barline.
  it('joins tied notes', async () => {
    expect(lengths((await read(tune('abc-|cba |'))).song)).toEqual([480, 480, 960, 480, 480]);
    expect(lengths((await read(tune('c4-c4 |'))).song)).toEqual([3840]);
  });

  // Source: ABC standard 2.1, section 4.6: +8 and -8 transpose by an octave, octave= and transpose= add to it.
  it('sounds clefs with octaves, octave= and transpose= where they sound', async () => {
    const at = async (key: string) => pitches((await read(tune('c |', `M:4/4\nL:1/8\nK:${key}`))).song)[0];
    expect(await at('C clef=treble-8')).toBe(60);
    expect(await at('C treble+8')).toBe(84);
    expect(await at('C bass4+8 octave=-1')).toBe(72);
    expect(await at('C clef=treble octave=-2')).toBe(48);
    expect(await at('C transpose=-2')).toBe(70);
    expect(await at('C t=4')).toBe(76);
    expect(await at('C baritone')).toBe(72);
  });

  // Source: ABC standard 2.1, section 3.1.14: modes by their signature; exp and added accidentals.
  it('reads keys and modes', async () => {
    const scale = async (key: string) =>
      pitches((await read(tune('CDEFGAB |', `M:none\nL:1/8\nK:${key}`))).song);
    const twoSharps = [61, 62, 64, 66, 67, 69, 71];
    for (const key of ['D', 'Dmaj', 'D major', 'Bm', 'B minor', 'Ador', 'E Dorian', 'Amix', 'GLyd', 'F#phr'])
      expect(await scale(key), key).toEqual(key === 'Ador' ? [60, 62, 64, 66, 67, 69, 71] : twoSharps);
    expect(await scale('D Phr ^f')).toEqual([60, 62, 63, 66, 67, 69, 70]);
    expect(await scale('D exp _b _e ^f')).toEqual([60, 62, 63, 66, 67, 69, 70]);
    expect(await scale('none')).toEqual([60, 62, 64, 65, 67, 69, 71]);
    expect(await scale('Hp')).toEqual(twoSharps);
  });
});

describe('tempo and unit', () => {
  // Source: ABC standard 2.1, section 3.1.8: Q:1/2=120, "Allegro" 1/4=120, 3/8=50 "Slowly", and words alone.
  it('reads tempos by their beat', async () => {
    const tempo = async (field: string) =>
      (await read(tune('c8 |', `M:4/4\nL:1/8\nQ:${field}\nK:C`))).song.tempo;
    expect(await tempo('1/2=120')).toBe(240);
    expect(await tempo('"Allegro" 1/4=120')).toBe(120);
    expect(await tempo('3/8=50 "Slowly"')).toBe(75);
    expect(await tempo('1/4 3/8 1/4 3/8=40')).toBe(200);
    expect(await tempo('"Andante"')).toBeNull();
  });

  // Source: ABC standard 2.1, section 3.1.7: the unit is a sixteenth below 0.75, an eighth from there on and for free meter.
  it('takes the unit length from the meter', async () => {
    const first = async (meter: string) => lengths((await read(tune('c |', `${meter}K:C`))).song)[0];
    expect(await first('M:2/4\n')).toBe(240);
    expect(await first('M:3/4\n')).toBe(480);
    expect(await first('M:6/8\n')).toBe(480);
    expect(await first('M:none\n')).toBe(480);
    expect(await first('')).toBe(480);
  });
});

describe('words', () => {
  // Source: ABC standard 2.1, section 5.1: the examples of alignment.
  it('lays syllables, held notes and words that share a note', async () => {
    const under = async (notes: string, line: string) =>
      words((await read(tune(`${notes}\nw: ${line}`))).song);
    expect(await under('CDE|', 'syll-a-ble')).toEqual(['syll-', 'a-', 'ble']);
    expect(await under('CDEF|', 'syll-a--ble')).toEqual(['syll-', 'a-', '', 'ble']);
    expect(await under('CDEF|', 'syll-a -ble')).toEqual(['syll-', 'a-', '', 'ble']);
    expect(await under('CDE|', 'time__')).toEqual(['time', '', '']);
    expect(await under('C|', 'of~the~day')).toEqual(['of the day']);
    expect(await under('CD|', 'cat\\-o~nine *')).toEqual(['cat-o nine', '']);
  });

  // Source: ABC standard 2.1, section 5.1: two equal examples, the words after each line or after both.
  it('lays words that come after several lines', async () => {
    const after = await read(tune('C D E F|\nw: doh re mi fa\nG A B c|\nw: sol la ti doh'));
    const postponed = await read(tune('C D E F|\nG A B c|\nw: doh re mi fa sol la ti doh'));
    expect(words(after.song)).toEqual(['doh', 're', 'mi', 'fa', 'sol', 'la', 'ti', 'doh']);
    expect(words(postponed.song)).toEqual(words(after.song));
  });

  // Source: ABC standard 2.1, section 5.1: an empty w: leaves a line without words.
  it('leaves a line with an empty w: without words', async () => {
    const { song } = await read(tune('C D E F|\nw: doh re mi fa\nG G G G|\nw:\nF E F C|\nw: fa mi re doh'));
    expect(words(song)).toEqual(['doh', 're', 'mi', 'fa', '', '', '', '', 'fa', 'mi', 're', 'doh']);
  });

  // Source: ABC standard 2.1, section 5.1: the example with a field continuation.
  it('goes on with +:', async () => {
    const { song, report } = await read(
      tune(
        "gf|e2dc B2A2|B2G2 E2D2|.G2.G2 GABc|d4 B2\nw: Sa-ys my au-l' wan to your aul' wan,\n+: Will~ye come to the Wa-x-ies dar-gle?",
      ),
    );
    expect(words(song).slice(0, 11).join(' ')).toBe("Sa- ys my au- l' wan to your aul' wan, Will ye");
    expect(words(song).filter((word) => word !== '')).toHaveLength(19);
    expect(report.leftOut.filter((left) => left.what.includes('no note'))).toEqual([]);
  });

  // Source: ABC standard 2.1, section 5.1: a bar that has fewer syllables is left by |, otherwise | does nothing.
  it('goes on to the next bar at |', async () => {
    expect(words((await read(tune('abc|def|\nw: yeah|yeah'))).song)).toEqual([
      'yeah',
      '',
      '',
      'yeah',
      '',
      '',
    ]);
    expect(words((await read(tune('ab|cd|\nw: a b|c d'))).song)).toEqual(['a', 'b', 'c', 'd']);
  });

  // Source: ABC standard 2.1, section 5.1: no syllables on grace notes and rests; tied notes are separate notes here.
  it('counts tied notes as two, and neither rests nor grace notes', async () => {
    expect(words((await read(tune('{ge}CzD-D z E|\nw: My dog * has'))).song)).toEqual(['My', 'dog', 'has']);
  });

  // Source: ABC standard 2.1, section 5.2: w: fields one after the other are verses; +: goes on with the same.
  it('reads w: fields that follow one another as stanzas', async () => {
    const plain = await read(
      tune('CDEF FEDC|\nw: these are the lyr-ics for verse one\nw: these are the lyr-ics for verse two'),
    );
    const continued = await read(
      tune(
        'CDEF FEDC|\nw: these are the lyr-ics\n+:  for verse one\nw: these are the lyr-ics\n+:  for verse two',
      ),
    );
    for (const { song } of [plain, continued]) {
      expect(words(song, 1)[7]).toBe('one');
      expect(words(song, 2)[7]).toBe('two');
      expect(words(song, 3)[7]).toBe('');
    }
  });

  // Source: ABC standard 2.1, section 5.3: 1.~Three blind mice starts with a number; the note is aligned to Three.
  it('takes a number for the stanza’s', async () => {
    expect(words((await read(tune('EDC|\nw: 1.~Three blind mice'))).song)).toEqual([
      'Three',
      'blind',
      'mice',
    ]);
  });
});

describe('repeats and parts', () => {
  // Source: ABC standard 2.1, section 4.9: a tune with different endings, its |: not written.
  it('reads first and second endings', async () => {
    for (const music of ['faf gfe|[1 dfe dBA:|[2 d2e dcB|]', 'faf gfe|1 dfe dBA :|2 d2e dcB|]']) {
      const { song } = await read(tune(music, 'M:6/8\nL:1/8\nK:D'));
      expect(song.sections).toHaveLength(1);
      expect(song.sections[0]?.bars.map((bar) => bar.endings)).toEqual([[], [1], [2]]);
      expect(song.passes.map((pass) => pass.ending)).toEqual([1, 2]);
    }
  });

  // Source: ABC standard 2.1, section 4.8: a repeat without start goes back to the last double bar; ::| plays three times; ::, :|: and :||: are one.
  it('reads repeat signs in their shapes', async () => {
    expect(roadmap((await read(tune('c8 | d8 || e8 | f8 :|'))).song)).toEqual(['A 1 1', 'B 1 1', 'B 1 2']);
    expect(roadmap((await read(tune('|:: c8 ::|'))).song)).toEqual(['Tune 1 1', 'Tune 1 2', 'Tune 1 3']);
    for (const sign of ['::', ':|:', ':||:'])
      expect(roadmap((await read(tune(`|: c8 ${sign} d8 :|`))).song), sign).toEqual([
        'A 1 1',
        'A 1 2',
        'B 1 1',
        'B 1 2',
      ]);
  });

  // Source: ABC standard 2.1, section 3.1.9: P:((AB)3.(CD)3)2.
  it('unrolls the order of parts', async () => {
    const { song } = await read(
      tune('P:A\nc8|\nP:B\nd8|\nP:C\ne8|\nP:D\nf8|', 'P:((AB)3.(CD)3)2\nM:4/4\nL:1/8\nK:C'),
    );
    const once = 'ABABABCDCDCD';
    expect(
      roadmap(song)
        .map((pass) => pass.charAt(0))
        .join(''),
    ).toBe(once + once);
  });

  // Source: ABC standard 2.1, section 4.10: with P:A4 each time takes its own of four endings.
  it('takes an ending for each time that a part is named', async () => {
    const { song } = await read(
      tune('P:A\nc8 | [1 d8 :| [2 e8 :| [3 f8 :| [4 g8 |]', 'P:A4\nM:4/4\nL:1/8\nK:C'),
    );
    expect(roadmap(song)).toEqual(['A 1 1', 'A 1 2', 'A 1 3', 'A 1 4']);
    expect(song.sections[0]?.bars.map((bar) => bar.endings)).toEqual([[], [1], [2], [3], [4]]);
  });
});

describe('chords', () => {
  // Source: ABC standard 2.1, sections 4.17 to 4.19: "Gm7"[.=G,^c'] has a chord symbol; ^ _ < > @ start annotations.
  it('tells chord symbols from annotations', async () => {
    const { song, report } = await read(
      tune(`"C"[CEGc] | "Gm7"[.=G,^c'] "^above" A "@1,2free" B "_below"c "<("d | "Am/E"e2 "D7"f2 |`),
    );
    expect(song.chords.map((chord) => chord.symbol)).toEqual(['C', 'Gm7', 'Am/E', 'D7']);
    expect(song.chords.map((chord) => chord.offset)).toEqual([0, 0, 0, 960]);
    expect(pitches(song).slice(0, 2)).toEqual([72, 85]);
    expect(report.leftOut.some((left) => left.what === '4 text annotations')).toBe(true);
  });
});
