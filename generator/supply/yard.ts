import { type Given, gearOf, pair, type Supply } from "./supply.ts";

/** The gear of the yard, as the questions about it want it. */
export const yardSupplies: Readonly<Record<string, Supply>> = {
  "ec-reading": {
    needs: ["gear"],
    ask(take, { gear }, library) {
      const [meter] = gearOf(gear!, "meter");
      const [line] = gearOf(library.gear.values(), "line");
      const reading = meter && take(meter, "reading");
      const band = line && take(line, "band");
      return {
        reading: reading?.shows,
        scale: meter && take(meter, "scale"),
        temperature: reading?.temperature,
        compensated: meter && take(meter, "compensated"),
        bandLow: band?.low,
        bandHigh: band?.high,
      };
    },
  },
  "injector-setting": {
    needs: ["gear"],
    ask(take, { gear }) {
      const [injector] = gearOf(gear!, "injector");
      return { minPercent: injector && take(injector, "least"), maxPercent: injector && take(injector, "most") };
    },
  },
  "ratio-wording": {
    needs: ["gear"],
    ask(take, { gear }) {
      const [injector] = gearOf(gear!, "injector");
      return { means: injector && take(injector, "means"), heads: injector && take(injector, "heads") };
    },
  },
  "flow-window": {
    needs: ["gear"],
    ask(take, { gear }, library) {
      const injector = gearOf(gear!, "injector")[0] ?? gearOf(library.gear.values(), "injector")[0];
      const named = gearOf(gear!, "tower");
      const towers = named.length > 0 ? named : gearOf(library.gear.values(), "tower");
      const count = towers.reduce((sum, tower) => sum + (take(tower, "count") ?? 1), 0);
      const litres = towers.reduce(
        (sum, tower) => sum + (take(tower, "count") ?? 1) * (take(tower, "drinks") ?? Number.NaN),
        0,
      );
      return {
        towers: count > 0 ? count : undefined,
        litresPerTowerDay: Number.isFinite(litres) && count > 0 ? litres / count : undefined,
        minFlow: injector && take(injector, "slowest"),
        maxFlow: injector && take(injector, "fastest"),
      };
    },
  },
  "tub-days-left": {
    needs: ["gear"],
    ask(take, { gear }, library) {
      const [tub] = gearOf(gear!, "tub");
      const [line] = gearOf(library.gear.values(), "line");
      const litres = line && take(line, "litres");
      return { tubLitres: tub && take(tub, "holds"), feedLitresPerDay: litres };
    },
  },
  "line-match": {
    needs: [],
    may: ["crops", "gear"],
    ask(take, { crops, gear }, library) {
      const [line] = gearOf(gear ?? [], "line");
      const chosen = crops ?? line?.fields.crops.map((id) => library.crops.get(id)!) ?? [];
      return {
        crops: chosen.map((crop) => {
          const ec = take(crop, "ec");
          const ph = take(crop, "ph");
          return {
            id: crop.id,
            ec: pair(ec?.preferred),
            ph: pair(ph?.preferred),
            ecTolerated: pair(ec?.tolerated),
            phTolerated: pair(ph?.tolerated),
          };
        }),
      };
    },
  },
  "light-total": {
    needs: ["gear"],
    ask(take, { gear }) {
      const [lamp] = gearOf(gear!, "lamp");
      return { ppfd: lamp && take(lamp, "readings"), hours: lamp && take(lamp, "hours") };
    },
  },
  "lamp-plan": {
    needs: ["gear", "crops"],
    ask(take, { gear, crops }) {
      const [lamp] = gearOf(gear!, "lamp");
      const crop = crops![0]!;
      const readings = lamp && take(lamp, "readings");
      return {
        ppfd: readings && readings.reduce((sum, reading) => sum + reading, 0) / readings.length,
        targetDli: take(crop, "light.need"),
        maxHours: take(crop, "light.longest"),
        hoursNow: lamp && take(lamp, "hours"),
        efficacy: lamp && take(lamp, "efficacy"),
        lamps: lamp && take(lamp, "count"),
        lampWatts: lamp && take(lamp, "watts"),
      };
    },
  },
  "day-length": {
    needs: [],
    ask: (take, _given, library) => ({ latitude: take(library.book, "latitude"), date: take(library.book, "edition") }),
  },
  "month-shift": {
    needs: ["crops"],
    ask(take, { crops }, library) {
      const season = take(crops![0]!, "season.sow");
      return { fromMonth: season?.from, toMonth: season?.to, latitude: take(library.book, "latitude") };
    },
  },
  "room-load": {
    needs: ["gear"],
    ask(take, { gear }: Given) {
      const [lamp] = gearOf(gear!, "lamp");
      const [room] = gearOf(gear!, "room");
      const rated = room && take(room, "dryer");
      return {
        lampWatts: lamp && take(lamp, "count") * take(lamp, "watts"),
        lampHours: lamp && take(lamp, "hours"),
        dryerRated: rated,
      };
    },
  },
};
