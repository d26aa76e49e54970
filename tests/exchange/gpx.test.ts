import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readGpx, writeGpx } from "../../src/exchange/gpx/index.js";
import type { GeoData } from "../../src/exchange/index.js";
import { runs } from "../helpers/light.js";
import { random } from "../helpers/random.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const gpx = (inner: string): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="test">${inner}</gpx>`;

/** every element of the GPX 1.1 schema documentation that bears on a place, in an invented scenario */
const DOCUMENT = gpx(`
<metadata><name>Pond Farm</name><time>2024-05-01T08:00:00Z</time><bounds minlat="47" minlon="20" maxlat="48" maxlon="21"/></metadata>
<wpt lat="47.25" lon="20.75">
  <ele>88.5</ele><time>2024-05-01T08:00:00.125Z</time><name>gate &lt;north&gt;</name><cmt>c</cmt><desc>d</desc><src>s</src>
  <link href="http://example.invalid/gate"><text>photo</text><type>image/png</type></link>
  <sym>Flag</sym><type>gate</type><fix>3d</fix><sat>12</sat><hdop>0.7</hdop>
  <extensions><speed>3</speed></extensions>
</wpt>
<wpt lat="-47" lon="-180"/>
<rte><name>way in</name><number>4</number><rtept lat="47.2" lon="20.7"><name>first</name></rtept><rtept lat="47.3" lon="20.8"><ele>90</ele></rtept></rte>
<trk><name>round</name><type>boundary</type>
  <extensions><colour>red</colour></extensions>
  <trkseg>
    <trkpt lat="47.2" lon="20.7"><ele>1</ele><time>2024-05-01T08:00:00Z</time><sat>9</sat></trkpt>
    <trkpt lat="47.3" lon="20.7"/>
    <trkpt lat="47.3" lon="20.8"><time>2024-05-01T08:00:02Z</time></trkpt>
  </trkseg>
  <trkseg><trkpt lat="47.4" lon="20.7"/></trkseg>
  <trkseg/>
  <trkseg><trkpt lat="47.4" lon="20.7"/><trkpt lat="47.5" lon="20.7"/></trkseg>
</trk>
<trk><name>nothing</name></trk>
<rte/>`);

describe("what is read", () => {
  const data = readGpx(DOCUMENT);
  const start = Date.UTC(2024, 4, 1, 8) / 1000;

  test("way points with their attributes", () => {
    expect(data.points).toEqual([
      {
        position: { latitude: 47.25, longitude: 20.75, altitude: 88.5 },
        properties: {
          name: "gate <north>",
          cmt: "c",
          desc: "d",
          type: "gate",
          sym: "Flag",
          links: [{ href: "http://example.invalid/gate", text: "photo", type: "image/png" }],
          time: start + 0.125,
        },
      },
      { position: { latitude: -47, longitude: -180 }, properties: {} },
    ]);
    expect(data.fields).toEqual([]);
  });

  test("routes and the segments of tracks, times beside the positions they belong to", () => {
    expect(data.lines.map(({ properties, positions }) => [positions.length, properties])).toEqual([
      [2, { name: "way in", gpx: "rte" }],
      [3, { name: "round", type: "boundary", times: [start, null, start + 2] }],
      [2, { name: "round", type: "boundary" }],
    ]);
    expect(data.lines[1]!.positions).toEqual([
      { latitude: 47.2, longitude: 20.7, altitude: 1 },
      { latitude: 47.3, longitude: 20.7 },
      { latitude: 47.3, longitude: 20.8 },
    ]);
  });

  test("whatever else stands there is told with its line", () => {
    expect(data.passedOver.map(({ element, count }) => `${element} ${count}`).sort()).toEqual([
      "extensions of trk 1",
      "extensions of wpt 1",
      "fix of wpt 1",
      "hdop of wpt 1",
      "metadata 1",
      "name of rtept 1",
      "number of rte 1",
      "rte of 0 points 1",
      "sat of trkpt 1",
      "sat of wpt 1",
      "src of wpt 1",
      "trk without trkseg 1",
      "trkseg of 0 points 1",
      "trkseg of 1 points 1",
    ]);
    for (const { element, line } of data.passedOver) {
      expect(DOCUMENT.split("\n")[line - 1], element).toContain(element.split(" ")[0]!);
    }
  });

  test("a long track, whose points are converted in pieces, comes through whole", () => {
    for (const count of [2, 255, 256, 257, 510, 511, 512, 9000]) {
      const points = Array.from(
        { length: count },
        (_, i) => `<trkpt lat="${(47 + i * 1e-5).toFixed(5)}" lon="20"/>`,
      ).join("");
      const { lines } = readGpx(gpx(`<trk><trkseg>${points}</trkseg></trk>`));
      expect(lines[0]!.positions).toHaveLength(count);
      lines[0]!.positions.forEach((p, i) => expect(p.latitude).toBe(Number((47 + i * 1e-5).toFixed(5))));
    }
  });

  test("bytes, GPX 1.0, no namespace, longitudes beyond 180", () => {
    const text = gpx('<wpt lat="1" lon="190"><name>ü</name></wpt>');
    const expected = readGpx(text);
    expect(expected.points[0]!.position.longitude).toBe(-170);
    expect(readGpx(new TextEncoder().encode(text))).toEqual(expected);
    expect(readGpx(text.replace("GPX/1/1", "GPX/1/0"))).toEqual(expected);
    expect(readGpx(text.replace(/ xmlns="[^"]*"/, ""))).toEqual(expected);
  });
});

describe("what is refused, with its place", () => {
  const point = (attributes: string, inner = ""): string =>
    gpx(`<trk><trkseg><trkpt ${attributes}>${inner}</trkpt></trkseg></trk>`);
  test.for([
    ["no latitude", point('lon="5"'), "lat of trkpt"],
    ["no longitude", point('lat="5"'), "lon of trkpt"],
    ["a latitude out of range", point('lat="90.5" lon="5"'), '"90.5"'],
    ["a longitude out of range", point('lat="9" lon="361"'), '"361"'],
    ["digits with something behind", point('lat="52abc" lon="5"'), '"52abc"'],
    ["a decimal comma", point('lat="52,5" lon="5"'), '"52,5"'],
    ["a number that no double holds", point('lat="1" lon="1e309"'), '"1e309"'],
    ["NaN", point('lat="NaN" lon="1"'), '"NaN"'],
    ["a height that is none", point('lat="1" lon="1"', "<ele>high</ele>"), '"high"'],
    ["an infinite height", point('lat="1" lon="1"', "<ele>1e309</ele>"), '"1e309"'],
    ["a time that is none", point('lat="1" lon="1"', "<time>2024-02-30T00:00:00Z</time>"), "no date"],
    ["a time of another kind", point('lat="1" lon="1"', "<time>yesterday</time>"), "no date"],
    ["a bad waypoint", gpx('<wpt lat="" lon="1"/>'), "lat of wpt"],
    ["a bad route", gpx('<rte><rtept lat="1" lon=""/></rte>'), "lon of rtept"],
    ["another root", "<kml/>", "needs gpx"],
    ["a document type", '<!DOCTYPE gpx [<!ENTITY a "b">]><gpx/>', "document type"],
    ["an early end", DOCUMENT.slice(0, 900), ""],
    ["crossed tags", gpx("<trk><trkseg></trk></trkseg>"), ""],
    ["nothing", "", ""],
  ] as const)("%s", ([, text, part]) => {
    const error = expectCode(() => readGpx(text), "bad-format");
    expect(error.message).toContain(part);
    expect(error.argument).toMatch(/^line \d+, column \d+$/);
  });

  test("caps, nesting, options", () => {
    expectCode(() => readGpx(DOCUMENT, { maximumLength: 100 }), "too-large");
    expectCode(() => readGpx(DOCUMENT, { maximumPositions: 3 }), "too-large");
    expectCode(() => readGpx(`<gpx><extensions>${"<a>".repeat(200_000)}`), "bad-format");
    expectCode(() => readGpx(undefined as never), "bad-format");
    expectCode(() => readGpx("<gpx/>", null as never), "not-finite");
    expectCode(() => writeGpx({}, { creator: 3 as never }), "bad-format");
  });

  test("every cut of a document is refused", () => {
    const text = DOCUMENT.trimEnd();
    for (let end = 0; end < text.length; end += 5) expectCode(() => readGpx(text.slice(0, end)), "bad-format");
  });
});

const words = fc.stringMatching(/^[ -~äöß€]{0,12}$/);
const position = fc
  .tuple(
    fc.double({ min: -89, max: 89, noNaN: true }),
    fc.double({ min: -179.9, max: 179.9, noNaN: true }),
    fc.option(fc.double({ min: -100, max: 4000, noNaN: true })),
  )
  .map(([latitude, longitude, altitude]) => ({ latitude, longitude, ...(altitude === null ? {} : { altitude }) }));
const properties = fc.record({ name: words, cmt: words, desc: words, type: words }, { requiredKeys: [] });

describe("round trips", () => {
  test("read(write(read(x))) is read(x), and a second writing is the same text", () => {
    fc.assert(
      fc.property(
        fc.record({
          lines: fc.array(
            fc
              .tuple(fc.array(position, { minLength: 2, maxLength: 6 }), properties, fc.boolean(), fc.boolean())
              .map(([positions, more, timed, route]) => ({
                positions,
                properties: {
                  ...more,
                  ...(timed ? { times: positions.map((_, i) => (i === 1 ? null : 1.7e9 + i / 8)) } : {}),
                  ...(route ? { gpx: "rte" } : {}),
                },
              })),
            { maxLength: 3 },
          ),
          points: fc.array(
            fc.record({
              position,
              properties: fc.record({ name: words, sym: words, links: fc.constant([{ href: "a?b&c", text: "<t>" }]) }),
            }),
            { maxLength: 3 },
          ),
        }),
        (generated) => {
          const text = writeGpx(generated);
          const once = readGpx(text);
          expect(once.passedOver).toEqual([]);
          expect(readGpx(writeGpx(once))).toEqual(once);
          expect(writeGpx(readGpx(writeGpx(once)))).toBe(writeGpx(once));
          // routes come first
          const lines = [...generated.lines].sort(
            (a, b) => Number("gpx" in b.properties) - Number("gpx" in a.properties),
          );
          expect(once.lines).toHaveLength(lines.length);
          once.lines.forEach((line, i) => {
            const was = lines[i]!;
            const said = Object.fromEntries(Object.entries(was.properties).filter(([, value]) => value !== ""));
            expect(line.properties).toEqual(said);
            line.positions.forEach((p, k) => {
              expectWithin(p.latitude, was.positions[k]!.latitude, 5.00001e-10, "degrees");
              expectWithin(p.longitude, was.positions[k]!.longitude, 5.00001e-10, "degrees");
              expectWithin(p.altitude ?? 0, was.positions[k]!.altitude ?? 0, 5.0001e-5, "m");
            });
          });
          once.points.forEach(({ properties: read }, i) => {
            expect(read["links"]).toEqual(generated.points[i]!.properties.links);
          });
        },
      ),
      { numRuns: runs(200) },
    );
  });

  test("a field is written as closed tracks, and comes back as lines", () => {
    const at = (longitude: number, latitude: number): { latitude: number; longitude: number } => ({
      latitude,
      longitude,
    });
    const fields: GeoData["fields"] = [
      {
        polygons: [
          {
            exterior: [at(20, 47), at(20.1, 47), at(20.1, 47.1), at(20, 47)],
            holes: [[at(20.05, 47.01), at(20.06, 47.02), at(20.06, 47.01), at(20.05, 47.01)]],
          },
        ],
        properties: { name: "Pond Piece", description: "wet", area: 3 },
      },
    ];
    const text = writeGpx({ fields });
    expect(text).toBe(writeGpx({ fields }));
    const { lines } = readGpx(text);
    expect(lines.map(({ positions, properties: read }) => [positions.length, read])).toEqual([
      [4, { name: "Pond Piece", desc: "wet" }],
      [4, { name: "Pond Piece", desc: "wet" }],
    ]);
    expect(lines[0]!.positions[3]).toEqual(lines[0]!.positions[0]);
  });

  test("a text that no XML document can hold is refused with its path; 180 is written as -180, as the schema asks", () => {
    const point = { position: { latitude: 52, longitude: 180 }, properties: { name: "x" } };
    expect(writeGpx({ points: [point] })).toContain('lon="-180"');
    const bad = { ...point, properties: { name: "a\u0007" } };
    expect(expectCode(() => writeGpx({ points: [bad] }), "bad-format").argument).toBe("points[0].properties.name");
  });
});

describe("mangled documents", () => {
  test("give data or one typed error", () => {
    const uniform = random(5);
    const pieces = [
      "<",
      ">",
      "/",
      "&",
      "=",
      " ",
      '"',
      "-",
      "9",
      "e",
      "<trkpt>",
      "</trk>",
      "<![CDATA[",
      "]]>",
      "\u0000",
    ];
    // short, so that many can be tried
    const base = gpx(
      '<wpt lat="47" lon="20"><ele>8</ele><name>a &lt;</name><link href="b"><text>c</text></link></wpt><trk><name>t</name><trkseg><trkpt lat="1" lon="2"><ele>3</ele><time>2024-05-01T08:00:00Z</time></trkpt><trkpt lat="1" lon="3"/></trkseg></trk>',
    );
    for (let n = 0; n < runs(10_000); n++) {
      let text = base;
      for (let k = 0; k < 2; k++) {
        const at = Math.floor(uniform() * text.length);
        const piece = uniform() < 0.3 ? "" : pieces[Math.floor(uniform() * pieces.length)]!;
        text = text.slice(0, at) + piece + text.slice(at + Math.floor(uniform() * 3));
      }
      try {
        const read = readGpx(n % 2 === 0 ? text : new TextEncoder().encode(text));
        for (const line of read.lines) expect(line.positions.length).toBeGreaterThan(1);
      } catch (error) {
        expect((error as { code?: string }).code, String((error as Error).stack)).toBe("bad-format");
      }
    }
  });
});
