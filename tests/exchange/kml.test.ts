import { zipSync } from "fflate";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fieldFeatures, readFieldFeatures } from "../../src/exchange/features/index.js";
import { readKml, writeKml } from "../../src/exchange/kml/index.js";
import { localFrame } from "../../src/frames/index.js";
import { curvedLine, guidancePattern, headingLine } from "../../src/guidance/index.js";
import { runs } from "../helpers/light.js";
import { random } from "../helpers/random.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const kml = (inner: string): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">${inner}</kml>`;
const placemark = (inner: string): string => kml(`<Placemark>${inner}</Placemark>`);
const point = (coordinates: string): string => placemark(`<Point><coordinates>${coordinates}</coordinates></Point>`);

/** the point, line and polygon with a hole in the words of OGC 12-007r2, clauses 10.3 to 10.8, in an invented place */
const DOCUMENT = kml(`
<Document>
  <name>Pond Farm</name>
  <Style id="green"><PolyStyle><color>7f00ff00</color></PolyStyle></Style>
  <Schema name="field" id="field"><SimpleField type="double" name="area"/><SimpleField type="bool" name="organic"/><SimpleField type="string" name="crop"/></Schema>
  <Folder>
    <name>Fields</name>
    <Placemark id="f1">
      <name>Pond Piece &amp; Neck</name>
      <description><![CDATA[<b>wet</b> corner]]></description>
      <TimeSpan><begin>2024-03</begin><end>2024-10-01</end></TimeSpan>
      <styleUrl>styles.kml#green</styleUrl>
      <ExtendedData>
        <Data name="farmer"><displayName>Farmer</displayName><value>A. Nobody</value></Data>
        <SchemaData schemaUrl="#field"><SimpleData name="area">120.5</SimpleData><SimpleData name="organic">false</SimpleData><SimpleData name="crop">rye</SimpleData></SchemaData>
      </ExtendedData>
      <MultiGeometry>
        <Polygon>
          <extrude>1</extrude>
          <altitudeMode>relativeToGround</altitudeMode>
          <innerBoundaryIs><LinearRing><coordinates>20.72,47.22 20.74,47.22 20.74,47.24 20.72,47.22</coordinates></LinearRing></innerBoundaryIs>
          <outerBoundaryIs><LinearRing><coordinates>
            20.7,47.2,0
            20.8,47.2,0	20.8,47.3,0
            20.7,47.3,0 20.7,47.2,0
          </coordinates></LinearRing></outerBoundaryIs>
        </Polygon>
        <Polygon><altitudeMode>relativeToGround</altitudeMode><outerBoundaryIs><LinearRing><coordinates>21,47 21,47.1 21.1,47.1</coordinates></LinearRing></outerBoundaryIs></Polygon>
      </MultiGeometry>
    </Placemark>
    <Folder><name>Lines</name>
      <Placemark><name>ditch</name><LineString><tessellate>1</tessellate><coordinates>20.7,47.2 20.75,47.25,88.5</coordinates></LineString></Placemark>
      <Placemark><LinearRing><coordinates>20.7,47.2 20.75,47.25 20.7,47.3 20.7,47.2</coordinates></LinearRing></Placemark>
    </Folder>
  </Folder>
  <Placemark><name>run</name>
    <gx:MultiTrack>
      <gx:Track><altitudeMode>absolute</altitudeMode>
        <when>2024-05-01T08:00:00Z</when><when>2024-05-01T10:00:00.25+02:00</when><when>2024-05-01T08:00:00.5</when>
        <gx:coord>20.70 47.20 88</gx:coord><gx:coord/><gx:coord>20.71 47.21  89.5</gx:coord>
        <gx:angles>45 0 0</gx:angles>
      </gx:Track>
      <gx:Track><when>2024-05-01T09:00:00Z</when><gx:coord>20.8 47.2 0</gx:coord></gx:Track>
    </gx:MultiTrack>
  </Placemark>
  <Placemark><name>gate</name><TimeStamp><when>2024-05-01</when></TimeStamp><Point><coordinates> 20.7,47.2,90 </coordinates></Point></Placemark>
  <Placemark><name>nothing</name></Placemark>
  <Placemark><name>empty</name><Point><coordinates/></Point></Placemark>
  <NetworkLink><Link><href>http://example.invalid/more.kml</href></Link></NetworkLink>
  <GroundOverlay><Icon><href>a.png</href></Icon></GroundOverlay>
</Document>`);

describe("what is read", () => {
  const data = readKml(DOCUMENT);

  test("a field of two parts with a hole, its outer ring told apart by its element, not by its place", () => {
    expect(data.name).toBe("Pond Farm");
    expect(data.fields).toHaveLength(1);
    const [field] = data.fields;
    expect(field!.id).toBe("f1");
    expect(field!.polygons.map((part) => [part.exterior.length, part.holes.length])).toEqual([
      [5, 1],
      [4, 0],
    ]);
    expect(field!.polygons[0]!.exterior[0]).toEqual({ latitude: 47.2, longitude: 20.7, altitude: 0 });
    expect(field!.properties).toEqual({
      name: "Pond Piece & Neck",
      description: "<b>wet</b> corner",
      begin: Date.UTC(2024, 2) / 1000,
      end: Date.UTC(2024, 9, 1) / 1000,
      styleUrl: "styles.kml#green",
      farmer: "A. Nobody",
      area: 120.5,
      organic: false,
      crop: "rye",
      folder: "Fields",
      altitudeMode: "relativeToGround",
    });
  });

  test("lines, rings, tracks with times, points", () => {
    expect(data.lines.map((line) => [line.properties["name"], line.positions.length])).toEqual([
      ["ditch", 2],
      [undefined, 4],
      ["run", 2],
    ]);
    expect(data.lines[0]!.positions[1]).toEqual({ latitude: 47.25, longitude: 20.75, altitude: 88.5 });
    expect(data.lines[0]!.properties["folder"]).toBe("Fields / Lines");
    const start = Date.UTC(2024, 4, 1, 8) / 1000;
    expect(data.lines[2]!.properties).toEqual({
      name: "run",
      altitudeMode: "absolute",
      // the second has no position
      times: [start, start + 0.5],
    });
    expect(data.points.map(({ properties }) => properties)).toEqual([
      { name: "run", times: [start + 3600] },
      { name: "gate", time: Date.UTC(2024, 4, 1) / 1000 },
    ]);
    expect(data.withoutGeometry).toBe(2);
  });

  test("whatever else stands there is told with its line", () => {
    expect(data.passedOver.map(({ element, count }) => `${element} ${count}`).sort()).toEqual([
      "GroundOverlay 1",
      "NetworkLink 1",
      "Style 1",
      "angles 1",
      "coord without a position 1",
      "coordinates without a position 1",
      "displayName 1",
      "extrude 1",
      "tessellate 1",
    ]);
    for (const { element, line } of data.passedOver) {
      const name = element.split(" ")[0]!;
      expect(DOCUMENT.split("\n")[line - 1], element).toContain(name);
    }
  });

  test("bytes, UTF-16, ISO 8859-1, prefixes, KML 2.3, no namespace", () => {
    const text = placemark("<name>Große Wiese</name><Point><coordinates>5,52</coordinates></Point>");
    const expected = readKml(text);
    expect(expected.points[0]!.properties).toEqual({ name: "Große Wiese" });
    expect(readKml(new TextEncoder().encode(text))).toEqual(expected);
    expect(readKml(`\ufeff${text}`)).toEqual(expected);
    const wide = new Uint8Array(Buffer.from(`\ufeff${text}`, "utf16le"));
    expect(readKml(wide)).toEqual(expected);
    const latin = text.replace("UTF-8", "ISO-8859-1");
    expect(readKml(Uint8Array.from(latin, (c) => c.charCodeAt(0)))).toEqual(expected);
    expect(expectCode(() => readKml(Uint8Array.from(text, (c) => c.charCodeAt(0))), "bad-format").message).toContain(
      "0xdf",
    );
    expectCode(() => readKml(new TextEncoder().encode(text.replace("UTF-8", "EBCDIC"))), "bad-format");
    const prefixed = text.replaceAll(/<(\/?)(?=[kPnc])/g, "<$1k:").replace("xmlns=", "xmlns:k=");
    expect(prefixed).toContain("<k:Placemark>");
    expect(readKml(prefixed)).toEqual(expected);
    expect(readKml(text.replace("/kml/2.2", "/kml/2.3"))).toEqual(expected);
    expect(readKml(text.replace(/ xmlns="[^"]*"/, ""))).toEqual(expected);
  });

  test("an archive: doc.kml, else the first; stored or deflated", () => {
    const bytes = new TextEncoder().encode(DOCUMENT);
    const other = new TextEncoder().encode(point("1,2"));
    const { passedOver, ...data } = readKml(DOCUMENT);
    for (const level of [0, 9] as const) {
      const whole = readKml(zipSync({ "files/a.png": new Uint8Array(9), "a.kml": other, "doc.kml": bytes }, { level }));
      expect(whole).toMatchObject(data);
      expect(whole.passedOver).toEqual([
        ...passedOver,
        { element: "other KML documents in the archive", count: 1, line: 0 },
      ]);
      expect(readKml(zipSync({ "Farm.KML": bytes }, { level }))).toEqual({ ...data, passedOver });
    }
  });
});

describe("what is refused, with its place", () => {
  test.for([
    ["a text for a number", point("5,x"), "coordinates[0]"],
    ["digits with something behind", point("5,52abc"), "coordinates[0]"],
    ["a number that no double holds", point("1e309,52"), "coordinates[0]"],
    ["NaN and infinities", point("NaN,INF"), "coordinates[0]"],
    ["hexadecimal digits", point("0x5,52"), "coordinates[0]"],
    ["a latitude out of range", point("5,90.1"), "coordinates[0]"],
    ["a lone number", point("5"), "coordinates[0]"],
    ["four numbers", point("5,52,3,4"), "coordinates[0]"],
    ["spaces about commas", point("5, 52"), "no spaces"],
    ["two positions of a point", point("5,52 6,53"), "2 positions, needs 1"],
    [
      "coordinates twice",
      placemark("<Point><coordinates>5,52</coordinates><coordinates>5,53</coordinates></Point>"),
      "twice",
    ],
    ["a line of one", placemark("<LineString><coordinates>5,52</coordinates></LineString>"), "needs 2"],
    [
      "a ring of two",
      placemark(
        "<Polygon><outerBoundaryIs><LinearRing><coordinates>5,52 6,53 5,52</coordinates></LinearRing></outerBoundaryIs></Polygon>",
      ),
      "2 distinct positions",
    ],
    [
      "a polygon without outer ring",
      placemark(
        "<Polygon><innerBoundaryIs><LinearRing><coordinates>5,52 6,53 5,53</coordinates></LinearRing></innerBoundaryIs></Polygon>",
      ),
      "no outer one",
    ],
    [
      "a bad third position",
      placemark("<LineString><coordinates>5,52 5,53\n5,,54</coordinates></LineString>"),
      "coordinates[2]",
    ],
    [
      "times and positions that differ in number",
      placemark("<gx:Track><when>2024-05-01</when><gx:coord>5 52 0</gx:coord><gx:coord>5 53 0</gx:coord></gx:Track>"),
      "1 times and 2 positions",
    ],
    ["a bad coord", placemark("<gx:Track><gx:coord>5 north 0</gx:coord></gx:Track>"), "coord[0]"],
    ["a time that is none", placemark("<TimeStamp><when>2024-13-01</when></TimeStamp>"), "no date"],
    ["an altitude mode that is none", placemark("<Point><altitudeMode>above</altitudeMode></Point>"), "altitudeMode"],
    [
      "a number of a Schema that is none",
      kml(
        '<Document><Schema id="s"><SimpleField name="n" type="int"/></Schema><Placemark><ExtendedData><SchemaData schemaUrl="#s"><SimpleData name="n">x</SimpleData></SchemaData></ExtendedData></Placemark></Document>',
      ),
      "its type int",
    ],
    ["another root", "<gpx/>", "needs kml"],
    ["a document type", '<!DOCTYPE kml [<!ENTITY a "aaaa">]><kml/>', "document type"],
    ["external entities", '<!DOCTYPE kml SYSTEM "file:///etc/passwd"><kml/>', "document type"],
    ["an entity that is not defined", point("&lots;"), "entity"],
    ["an undeclared prefix", "<kml><gx:Track/></kml>", "gx"],
    ["an attribute twice", '<kml a="1" a="2"/>', "duplicate"],
    ["a document that ends early", DOCUMENT.slice(0, 2000), "line"],
    ["nothing", "", "root"],
    ["two roots", `${point("5,52")}<kml/>`, "root"],
  ] as const)("%s", ([, text, part]) => {
    const error = expectCode(() => readKml(text), "bad-format");
    expect(error.message).toContain(part);
    expect(error.argument).toMatch(/^line \d+, column \d+$/);
  });

  test("nesting beyond 64 levels, floods of attributes, caps", () => {
    expectCode(() => readKml(`<kml>${"<Folder>".repeat(64)}`), "bad-format");
    expectCode(() => readKml(`<kml><x>${"<a>".repeat(200_000)}`), "bad-format");
    const attributes = Array.from({ length: 100_000 }, (_, i) => `a${i}="1"`).join(" ");
    expectCode(() => readKml(`<kml ${attributes}/>`), "bad-format");
    expectCode(() => readKml(DOCUMENT, { maximumLength: 100 }), "too-large");
    expectCode(() => readKml(DOCUMENT, { maximumPositions: 10 }), "too-large");
    expectCode(() => readKml(3 as never), "bad-format");
    expectCode(() => readKml("<kml/>", null as never), "not-finite");
  });

  test("every cut of a document is refused", () => {
    const text = writeKml(readKml(DOCUMENT));
    for (let end = 0; end < text.trimEnd().length; end += 7)
      expectCode(() => readKml(text.slice(0, end)), "bad-format");
  });

  test("names of the object prototype are data", () => {
    const data = (name: string): string =>
      placemark(
        `<ExtendedData><Data name="${name}"><value>1</value></Data></ExtendedData><Point><coordinates>5,52</coordinates></Point>`,
      );
    expect(readKml(data("constructor")).points[0]!.properties).toEqual({ constructor: "1" });
    expect(readKml(data("toString")).points[0]!.properties).toEqual({ toString: "1" });
    const proto = readKml(data("__proto__")).points[0]!.properties;
    expect(Object.getPrototypeOf(proto)).toBe(Object.prototype);
    expect(({} as Record<string, unknown>)["1"]).toBeUndefined();
    const typed = kml(
      '<Document><Schema id="__proto__"><SimpleField name="__proto__" type="int"/><SimpleField name="constructor" type="int"/></Schema><Placemark><ExtendedData><SchemaData schemaUrl="#__proto__"><SimpleData name="__proto__">1</SimpleData><SimpleData name="constructor">2</SimpleData></SchemaData></ExtendedData><Point><coordinates>5,52</coordinates></Point></Placemark></Document>',
    );
    expect(readKml(typed).points[0]!.properties).toEqual({ constructor: 2 });
  });

  test("time grows with the length: white space, comments, text, many placemarks", () => {
    const blank = " ".repeat(2e6);
    expect(readKml(point(`5,52${blank}`)).points).toHaveLength(1);
    expect(
      readKml(placemark(`<LineString><coordinates>5,52${blank}5,53</coordinates></LineString>`)).lines,
    ).toHaveLength(1);
    expect(readKml(kml(`<!--${"-a".repeat(1e6)}-->`)).withoutGeometry).toBe(0);
    expect(readKml(placemark(`<name>${"&#97;".repeat(2e5)}</name>`)).withoutGeometry).toBe(1);
    expect(
      readKml(kml("<Placemark><Point><coordinates>5,52</coordinates></Point></Placemark>".repeat(3000))).points,
    ).toHaveLength(3000);
  });
});

describe("archives that are none", () => {
  const document = new TextEncoder().encode(DOCUMENT);
  const good = zipSync({ "doc.kml": document });
  const view = (bytes: Uint8Array): DataView => new DataView(bytes.buffer);
  const directory = view(good).getUint32(good.length - 6, true);
  const changed = (change: (view: DataView, bytes: Uint8Array) => void): Uint8Array => {
    const bytes = good.slice();
    change(view(bytes), bytes);
    return bytes;
  };
  test.for([
    ["cut off", good.subarray(0, good.length - 1), "bad-format"],
    ["cut in the middle", good.subarray(0, 300), "bad-format"],
    ["without a document", zipSync({ "a.txt": document }), "bad-format"],
    ["with a wrong checksum", changed((v) => v.setUint32(directory + 16, 7, true)), "bad-format"],
    ["with a flipped byte", changed((_, b) => void (b[200]! ^= 1)), "bad-format"],
    ["that claims 4 GB", changed((v) => v.setUint32(directory + 24, 0xfffffff0, true)), "too-large"],
    ["that claims 200 MB in 2 kB", changed((v) => v.setUint32(directory + 24, 200e6, true)), "bad-format"],
    ["that claims less than there is", changed((v) => v.setUint32(directory + 24, 100, true)), "bad-format"],
    [
      "that claims more than there is",
      changed((v) => v.setUint32(directory + 24, document.length + 9, true)),
      "bad-format",
    ],
    ["whose entry lies past the end", changed((v) => v.setUint32(directory + 42, 0x7fffffff, true)), "bad-format"],
    ["whose directory lies past the end", changed((v) => v.setUint32(good.length - 6, 0x7fffffff, true)), "bad-format"],
    ["with more entries than there are", changed((v) => v.setUint16(good.length - 12, 9, true)), "bad-format"],
    ["packed otherwise", changed((v) => v.setUint16(directory + 10, 12, true)), "bad-format"],
    ["encrypted", changed((v) => v.setUint16(directory + 8, 1, true)), "bad-format"],
  ] as const)("%s", ([, bytes, code]) => {
    expectCode(() => readKml(bytes), code);
  });

  test("a bomb stops at the cap", () => {
    const bomb = zipSync({ "doc.kml": new Uint8Array(20e6) }, { level: 9 });
    expect(bomb.length).toBeLessThan(30e3);
    expectCode(() => readKml(bomb, { maximumLength: 1e6 }), "too-large");
    expectCode(() => readKml(bomb), "too-large");
  });
});

/** data such as any program may hand over; names that are texts of elements in the reader keep to texts */
const words = fc
  .string({ unit: "binary", maxLength: 12 })
  .filter((text) =>
    [...text].every(
      (c) => !/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff\ud800-\udfff]/.test(c) || c.length > 1,
    ),
  );
const position = fc.record({
  latitude: fc.double({ min: -89, max: 89, noNaN: true }),
  longitude: fc.double({ min: -179.9, max: 179.9, noNaN: true }),
});
const high = fc
  .tuple(position, fc.double({ min: -100, max: 4000, noNaN: true }))
  .map(([p, altitude]) => ({ ...p, altitude }));
const properties = fc.record(
  {
    name: words,
    description: words,
    visibility: fc.boolean(),
    time: fc.double({ min: 0, max: 4e9, noNaN: true }),
    altitudeMode: fc.constantFrom("absolute", "relativeToGround"),
    area: fc.double({ noNaN: true, noDefaultInfinity: true }),
    organic: fc.boolean(),
    crop: words,
    list: fc.array(fc.integer(), { maxLength: 2 }),
  },
  { requiredKeys: [] },
);
const ring = fc
  .tuple(position, fc.array(fc.double({ min: 0.001, max: 0.05, noNaN: true }), { minLength: 3, maxLength: 7 }))
  .map(([centre, radii]) =>
    radii.map((r, i) => ({
      latitude: centre.latitude + r * Math.sin((2 * Math.PI * i) / radii.length),
      longitude: centre.longitude + r * Math.cos((2 * Math.PI * i) / radii.length),
    })),
  );
const data = fc.record({
  fields: fc.array(
    fc.record({
      polygons: fc.array(fc.record({ exterior: ring, holes: fc.array(ring, { maxLength: 2 }) }), {
        minLength: 1,
        maxLength: 2,
      }),
      properties,
      id: fc.constantFrom("a", "b", "x y"),
    }),
    { maxLength: 3 },
  ),
  lines: fc.array(
    fc
      .tuple(fc.array(fc.oneof(position, high), { minLength: 2, maxLength: 5 }), properties, fc.boolean())
      .map(([positions, more, timed]) => ({
        positions,
        properties: timed ? { ...more, times: positions.map((_, i) => (i === 1 ? null : 1.7e9 + i / 8)) } : more,
      })),
    { maxLength: 2 },
  ),
  points: fc.array(fc.record({ position: fc.oneof(position, high), properties }), { maxLength: 2 }),
});

describe("round trips", () => {
  test("read(write(read(x))) is read(x), and a second writing is the same text", () => {
    fc.assert(
      fc.property(data, (generated) => {
        const text = writeKml(generated, { name: "Test" });
        const once = readKml(text);
        expect(once.name).toBe("Test");
        expect(once.passedOver).toEqual([]);
        expect(once.fields.length + once.lines.length + once.points.length).toBe(
          generated.fields.length + generated.lines.length + generated.points.length,
        );
        expect(readKml(writeKml(once, { name: "Test" }))).toEqual(once);
        once.lines.forEach((line, i) => {
          expect(line.properties["times"]).toEqual(
            (generated.lines[i]!.properties as Record<string, unknown>)["times"],
          );
          line.positions.forEach((p, k) => {
            const was = generated.lines[i]!.positions[k]! as typeof p;
            expectWithin(p.latitude, was.latitude, 5.00001e-10, "degrees");
            expectWithin(p.longitude, was.longitude, 5.00001e-10, "degrees");
            if (was.altitude === undefined) expect(p.altitude).toBeUndefined();
            else expectWithin(p.altitude!, was.altitude, 5.0001e-5, "m");
          });
        });
        once.points.forEach(({ properties: read }, i) => {
          const { time, list, ...same } = generated.points[i]!.properties;
          for (const [name, value] of Object.entries(same)) {
            if (name !== "altitudeMode") expect(read[name]).toEqual(Object.is(value, -0) ? 0 : value);
          }
          if (time !== undefined) expectWithin(read["time"] as number, time, 5.0001e-4, "s");
          if (list !== undefined) expect(read["list"]).toBe(JSON.stringify(list));
        });
      }),
      { numRuns: runs(200) },
    );
  });

  test("a document of others comes back the same", () => {
    const { passedOver: _, withoutGeometry: __, ...once } = readKml(DOCUMENT);
    const { passedOver, withoutGeometry, ...again } = readKml(writeKml(once, { name: once.name! }));
    expect(again).toEqual(once);
    expect(passedOver).toEqual([]);
    expect(withoutGeometry).toBe(0);
  });

  test("a field with its patterns goes out and comes back", () => {
    const frame = localFrame({ latitude: 47.25, longitude: 20.75 });
    const curve = curvedLine([
      [0, 0],
      [50, 10],
      [90, 60],
    ]);
    const patterns = [
      guidancePattern(curve, { swathWidth: 12 }),
      guidancePattern(headingLine([1, 2], 30), { swathWidth: 12 }),
    ];
    const read = readFieldFeatures(frame, readKml(writeKml(fieldFeatures(frame, { patterns }))));
    read.patterns.forEach((pattern, i) => {
      const { line, ...rule } = patterns[i]!;
      expect(pattern).toMatchObject(rule);
      pattern.line.points.forEach(([x, y], k) => {
        expectWithin(Math.hypot(x - line.points[k]![0], y - line.points[k]![1]), 0, 1e-4, "m");
      });
    });
  });

  test("a text that no XML document can hold is refused with its path", () => {
    for (const text of ["a\u0000b", "\ud800", "\ufffe", "\u001b"]) {
      const error = expectCode(
        () => writeKml({ points: [{ position: { latitude: 52, longitude: 5 }, properties: { crop: text } }] }),
        "bad-format",
      );
      expect(error.argument).toBe("points[0].properties.crop");
    }
  });
});

describe("mangled documents", () => {
  test("give data or one typed error", () => {
    const uniform = random(3);
    // short, so that many can be tried: each kind of element once
    const base = kml(
      '<Document><name>n</name><Schema id="s"><SimpleField name="a" type="double"/></Schema><Placemark id="p"><name>x &amp; y</name>' +
        '<TimeStamp><when>2024-05-01T08:00:00Z</when></TimeStamp><ExtendedData><SchemaData schemaUrl="#s"><SimpleData name="a">1.5</SimpleData></SchemaData></ExtendedData>' +
        "<MultiGeometry><Polygon><outerBoundaryIs><LinearRing><coordinates>0,0 1,0 1,1 0,0</coordinates></LinearRing></outerBoundaryIs></Polygon>" +
        "<gx:Track><when>2024-05-01</when><when/><gx:coord>1 2 3</gx:coord><gx:coord>1 2.5</gx:coord></gx:Track></MultiGeometry></Placemark></Document>",
    );
    const pieces = [
      "<",
      ">",
      "/",
      "&",
      ",",
      " ",
      '"',
      "-",
      "9",
      "e",
      "<Point>",
      "</Placemark>",
      "<![CDATA[",
      "]]>",
      "\u0000",
    ];
    const archive = zipSync({ "doc.kml": new TextEncoder().encode(base) });
    for (let n = 0; n < runs(10_000); n++) {
      let input: string | Uint8Array;
      if (n % 3 === 0) {
        const bytes = archive.slice();
        for (let k = 0; k < 2; k++) bytes[Math.floor(uniform() * bytes.length)] = Math.floor(uniform() * 256);
        input = bytes;
      } else {
        let text = base;
        for (let k = 0; k < 2; k++) {
          const at = Math.floor(uniform() * text.length);
          const piece = uniform() < 0.3 ? "" : pieces[Math.floor(uniform() * pieces.length)]!;
          text = text.slice(0, at) + piece + text.slice(at + Math.floor(uniform() * 3));
        }
        input = n % 3 === 1 ? text : new TextEncoder().encode(text);
      }
      try {
        const read = readKml(input);
        for (const line of read.lines) expect(line.positions.length).toBeGreaterThan(1);
      } catch (error) {
        const { code } = error as { code?: string };
        expect(["bad-format", "too-large"], String((error as Error).stack)).toContain(code);
      }
    }
  });
});
