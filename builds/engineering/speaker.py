"""A speaker and its amplifier: power at a voltage, the most without clipping, what it draws."""

from builds.engineering.given import not_negative, positive


def power_w(volt_rms: float, ohm: float) -> float:
    """Power in a speaker: P = V² / R. Source: Ohm's law, as in Audio Asylum, speakers.

    The nominal resistance stands for the speaker; its impedance rises and falls with frequency.
    """
    return not_negative(volt_rms, "The voltage (RMS)") ** 2 / _speaker(ohm)


def sine_limit_w(supply_v: float, ohm: float) -> float:
    """The most that a bridge drives as a clean sine: P = V² / (2 R). Source: closed form.

    The sine's peak is the supply voltage, so its RMS is V / √2; losses in the bridge left out.
    """
    return positive(supply_v, "The supply voltage") ** 2 / (2 * _speaker(ohm))


def supply_current_a(output_w: float, efficiency: float, supply_v: float) -> float:
    """What an amplifier draws: I = P / (η V). Source: closed form."""
    share = positive(efficiency, "The amplifier's efficiency")
    if share > 1:
        raise ValueError(
            f"An amplifier's efficiency is a share up to 1, like 0.92; not {efficiency:g}."
        )
    drawn_w = not_negative(output_w, "The output power in W") / share
    return drawn_w / positive(supply_v, "The supply voltage")


def _speaker(ohm: float) -> float:
    return positive(ohm, "The speaker's resistance in Ω")
