"""Every job of the field cases, by a name."""

from __future__ import annotations

from core.job.document import Job
from tests.core.circuit.cases import fed, grounded, keyed


def every_job() -> dict[str, Job]:
    return {
        "a run signal from the accessory socket": keyed.socket_signal(),
        "a run signal from the ignition": keyed.socket_signal(keyed.IGNITION),
        "five feeds": keyed.five_feeds(),
        "a cut-off that the radio goes round": keyed.cut_off(),
        "the same with a fuse in the radio's ground": keyed.cut_off(10.0),
        "a sense on the car's side of a diode": keyed.sense_at_diode("car"),
        "a sense on the starter's side of a diode": keyed.sense_at_diode("starter"),
        "a bridged pair": keyed.bridged_pair(),
        "a bridged output into a grounded speaker": keyed.bridged_pair("body", 13.0),
        "a pair with a dead half": keyed.half_dead_pair(),
        "a camera behind two resistors": fed.camera_behind_two_resistors(),
        "a camera of 6 V on 12 V": fed.camera_behind_two_resistors(regulated=False),
        "a camera on a signal": fed.camera_on_a_signal(),
        "a signal alone": fed.camera_on_a_signal(camera=False),
        "a pulsed lamp feed": fed.pulsed_lamp_feed(),
        "a ladder": fed.ladder(),
        "a pierced feed": fed.pierced_feed(),
        "a sound feed": fed.pierced_feed(None),
        "a far load on thin wire": fed.far_load("6 AWG", 20.0, 75.3),
        "a near load on thick wire": fed.far_load("2 AWG", 2.0, 75.3),
        "a shared return": fed.shared_return(0.2),
        "a trailer without ground, hot ohms": fed.trailer("ohms"),
        "a trailer without ground, filaments": fed.trailer("lamp"),
        "a trailer on its hitch": fed.trailer("lamp", hitch=True),
        "a ground on a lamp wire": fed.ground_on_a_lamp_wire(),
        "a ground on a lamp wire, case on the body": fed.ground_on_a_lamp_wire(case_on_body=True),
        "a converter at its limit": fed.truck_converter(),
        "a converter alone": fed.truck_converter(()),
        "exchanged feeds": grounded.exchanged_feeds(),
        "a radio without ground": grounded.grounded_by_shields(shields=False),
        "a radio grounded by shields": grounded.grounded_by_shields(shields=True),
        "two coils on an output": grounded.coils_on_an_output(2),
        "a camera behind a regulator": grounded.camera_behind_a_regulator(),
        "a camera behind a regulator in the dip": grounded.camera_behind_a_regulator(7.0),
        "a negative case on a positive frame": grounded.negative_case_on_a_positive_frame(),
        "the middle of a pair": grounded.middle_of_a_pair(),
    }
