"""Whole random jobs: a car's plugs with our halves mated to them, equipment, joints, wires and cables.

Half of the ends are joined by what they are for, so that something works; the rest by chance, so that
supplies are shorted, sneak into each other and stand on their heads.
"""

from __future__ import annotations

from random import Random

from core.ids import terminal
from core.job.document import Job
from core.job.faces import Face, mate_of, numbered_grid
from core.job.internals import Internal, terminals_of
from core.job.parts import Cavity, Connector, Lead, Part
from core.job.record import BenchSupply, CarBattery, JobSheet, OwnSwitch, Settings
from core.job.wiring import Cable, Conductor, Joint, Mate, Wire
from tests.spice.kinds import BENT, LINEAR, OWN_SWITCH, Maker, maybe, near

CAR_FUNCTIONS = (
    *(
        "constant",
        "accessory",
        "ignition",
        "illumination",
        "reverse",
        "start",
        "ground",
        "ground",
        "parking-brake",
    ),
    *("speaker-lf+", "speaker-lf-", "antenna-turn-on", "dimmer", ""),
)
BOX_FUNCTIONS = (
    *("constant", "accessory", "ground", "ground", "illumination", "reverse", "parking-brake", "camera-feed"),
    *("antenna-turn-on", "amplifier-turn-on", "speaker-lf+", "speaker-lf-", "signal-ground", "", "", ""),
)
GAUGES = (None, "0.35 mm2", "0.5 mm2", "1 mm2", "2.5 mm2", "18 AWG", "10 AWG", "00 AWG", "7 AWG", "0.6 mm2")
LENGTHS_MM = (None, 0.0, 40.0, 150.0, 300.0, 1200.0, 5000.0)
GROUND_SIDE = frozenset(["minus", "reference", "coil_minus", "common", "cathode", "touches", "b"])
HOT_SIDE = frozenset(["plus", "input", "coil_plus", "a", "anode", "fed_from", "on_by"])


class JobMaker:
    """One job from one seed. `linear`: without anything that has a law or a state of its own."""

    def __init__(self, seed: int, *, linear: bool) -> None:
        self.chance = Random(seed)
        self.linear = linear
        self.title = f"random {'linear ' if linear else ''}job {seed}"
        self.system = float(self.chance.choice((6, 12, 12, 24)))
        self.roles: dict[str, str] = {}

    def job(self) -> Job:
        chance = self.chance
        car = self.car()
        pigtail = self.pigtail(car)
        boxes = [self.box(tag) for tag in ("RAD", "AMP", "CAM", "RLY")[: chance.randint(1, 4)]]
        parts = {part.id: part for part in (car, pigtail, *boxes)}
        wires, cables = self.wires(boxes), self.cables(boxes)
        joints = self.joints((pigtail, *boxes), wires, cables)
        return Job(
            sheet=JobSheet(title=self.title),
            settings=self.settings(),
            parts=parts,
            mates={"M1": Mate(id="M1", a="CAR.A", b="TAIL.A")},
            wires={wire.id: wire for wire in wires},
            cables={cable.id: cable for cable in cables},
            joints=joints,
            counters={"M": 1, "W": len(wires), "C": len(cables), "J": len(joints)},
        )

    def settings(self) -> Settings:
        chance = self.chance
        own = CarBattery(
            rest_volts=maybe(chance, self.system * 1.03, 0.3), ohms=maybe(chance, near(chance, 0.01), 0.3)
        )
        return Settings(
            system_volts=int(self.system),
            ground=chance.choice(("negative", "negative", "positive")),
            battery=own,
            bench=BenchSupply(
                volts=self.system * 1.1, limit_amps=near(chance, 5), fuse_amps=maybe(chance, 10.0)
            ),
            switches=(OwnSwitch(name=OWN_SWITCH),),
        )

    # parts

    def car(self) -> Part:
        chance = self.chance
        count = chance.randint(3, 7)
        face = Face(grid=numbered_grid(2, count), gender="male")
        functions = ["constant", "ground", *(chance.choice(CAR_FUNCTIONS) for _ in range(2 * count - 2))]
        pins = [pin for row in face.grid for pin in row if pin is not None]
        cavities = tuple(
            Cavity(
                pin=pin,
                function=function,
                filled=chance.random() < 0.95,
                volts=maybe(chance, self.system / 2, 0.1) if function == "accessory" else None,
            )
            for pin, function in zip(pins, functions, strict=True)
        )
        plug = Connector(name="A", face=face, cavities=cavities)
        return Part(
            id="CAR",
            name="Car plug",
            state="on the car",
            connectors=(plug,),
            internals=self.internals([f"A-{pin}" for pin in pins[2:]], chance.randint(0, 2)),
        )

    def pigtail(self, car: Part) -> Part:
        (plug,) = car.connectors
        assert plug.face is not None
        cavities = tuple(
            Cavity(
                pin=cavity.pin, function=cavity.function, lead=self.lead(), filled=self.chance.random() < 0.97
            )
            for cavity in plug.cavities
        )
        for cavity in plug.cavities:
            function = cavity.function
            role = (
                "ground" if function == "ground" else "hot" if function in ("constant", "accessory") else ""
            )
            self.roles[terminal("TAIL", "A", cavity.pin)] = role
        half = Connector(name="A", face=mate_of(plug.face, "female"), cavities=cavities)
        return Part(id="TAIL", name="Our plug", kind="pigtail", connectors=(half,))

    def box(self, tag: str) -> Part:
        chance = self.chance
        names = chance.choice((("A",), ("A", "B")))
        connectors = []
        for name in names:
            pins = [str(number) for number in range(1, chance.randint(4, 8))]
            cavities = tuple(
                Cavity(
                    pin=pin,
                    function="" if self.linear and chance.random() < 0.7 else chance.choice(BOX_FUNCTIONS),
                    volts=maybe(chance, 5.0, 0.05),
                    lead=self.lead() if chance.random() < 0.6 else None,
                )
                for pin in pins
            )
            connectors.append(Connector(name=name, cavities=cavities))
        locals_ = [f"{c.name}-{cavity.pin}" for c in connectors for cavity in c.cavities]
        internals = self.internals(locals_, chance.randint(1, 5))
        for connector in connectors:
            for cavity in connector.cavities:
                role = "ground" if "ground" in cavity.function else "hot" if cavity.function else ""
                self.roles[terminal(tag, connector.name, cavity.pin)] = role
        for internal in internals:
            for field, value in internal:
                if value in terminals_of(internal) and field in GROUND_SIDE | HOT_SIDE:
                    self.roles[f"{tag}.{value}"] = "ground" if field in GROUND_SIDE else "hot"
        state = chance.choice(("to fit", "to fit", "to fit", "donor", "on the car", "removed"))
        return Part(id=tag, name=tag, state=state, connectors=tuple(connectors), internals=internals)

    def internals(self, names: list[str], count: int) -> tuple[Internal, ...]:
        """Some, each between terminals of its own as long as there are any left."""
        chance = self.chance
        waiting = chance.sample(names, len(names))

        def pick() -> str:
            return waiting.pop() if waiting else chance.choice(names)

        makers: tuple[Maker, ...] = LINEAR if self.linear else (*LINEAR, *BENT, *BENT)
        return tuple(chance.choice(makers)(chance, pick, self.system) for _ in range(count))

    # wiring

    def lead(self) -> Lead:
        chance = self.chance
        return Lead(
            gauge=chance.choice(GAUGES),
            length_mm=chance.choice(LENGTHS_MM),
            trimmed_mm=maybe(chance, 90.0, 0.2),
        )

    def crimped(self, boxes: list[Part]) -> str | None:
        """A bare cavity of equipment for a wire's end, now and then."""
        bare = [ref for part in boxes for ref, cavity in part.cavities.items() if cavity.lead is None]
        return self.chance.choice(bare) if bare and self.chance.random() < 0.4 else None

    def wires(self, boxes: list[Part]) -> list[Wire]:
        chance = self.chance
        return [
            Wire(
                id=f"W{number}",
                gauge=chance.choice(GAUGES),
                length_mm=chance.choice(LENGTHS_MM),
                a_in=self.crimped(boxes),
                b_in=self.crimped(boxes),
            )
            for number in range(1, chance.randint(1, 7))
        ]

    def cables(self, boxes: list[Part]) -> list[Cable]:
        chance = self.chance
        return [
            Cable(
                id=f"C{number}",
                length_mm=chance.choice(LENGTHS_MM),
                conductors=tuple(
                    Conductor(
                        gauge=chance.choice(GAUGES), shield=core == 2, a_in=self.crimped(boxes), b_in=None
                    )
                    for core in range(chance.randint(2, 3))
                ),
            )
            for number in range(1, chance.randint(1, 3))
        ]

    def joints(self, parts: tuple[Part, ...], wires: list[Wire], cables: list[Cable]) -> dict[str, Joint]:
        chance = self.chance
        ends = [ref for part in parts for ref in part.cavities]
        cores = [(wire.id, wire) for wire in wires]
        cores += [(f"{cable.id}.{n}", core) for cable in cables for n, core in enumerate(cable.conductors, 1)]
        for name, core in cores:
            ends += [f"{name}:{letter}" for letter in "ab" if getattr(core, f"{letter}_in") is None]
        chance.shuffle(ends)
        groups: list[list[str]] = []
        of_role: dict[str, list[str]] = {}
        for end in ends:
            role = self.roles.get(end) or chance.choice(("hot", "ground", "", ""))
            fate = chance.random()
            if fate < 0.1:
                continue
            if role and fate < 0.75:
                of_role.setdefault(f"{role}{chance.randint(0, 2)}", []).append(end)
            elif groups and (len(groups[-1]) < 2 or chance.random() < 0.3):
                groups[-1].append(end)
            else:
                groups.append([end])
        whole = [group for group in (*groups, *of_role.values()) if len(group) > 1]
        return {
            f"J{number}": Joint(id=f"J{number}", ends=tuple(group)) for number, group in enumerate(whole, 1)
        }


def make(seed: int, *, linear: bool = False) -> Job:
    return JobMaker(seed, linear=linear).job()
