package org.bathwarden.face;

import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Pair;

/** Texts of events about who commands, and about what other controllers ordered. */
final class LineText {

  private LineText() {}

  /** The text, if it is such an event; its details are put into {@code data}. */
  static Optional<String> of(DosingEvent event, Map<String, String> data) {
    if (event instanceof DosingEvent.EpochClaimed e) {
      return Optional.of(
          "asks to command with epoch " + e.epoch() + ", a new one each time command is taken");
    } else if (event instanceof DosingEvent.EpochHeld e) {
      return Optional.of("commands with epoch " + e.epoch());
    } else if (event instanceof DosingEvent.LineAskedFor e) {
      data.put("author", e.author());
      return Optional.of("is to take the line: " + e.author());
    } else if (event instanceof DosingEvent.NumbersAdopted e) {
      data.put("taken", Long.toString(e.taken()));
      data.put("abandoned_to", Long.toString(e.abandonedTo()));
      data.put("holder_epoch", Long.toString(e.holder()));
      return Optional.of(
          String.format(
              Locale.ROOT,
              "the PLC obeys epoch %d (instance %d) and has taken up orders to %d, abandoned to %d",
              e.holder(),
              Pair.of(e.holder()),
              e.taken(),
              e.abandonedTo()));
    } else if (event instanceof DosingEvent.OtherOrderCounted e) {
      data.put("number", Long.toString(e.number()));
      data.put("instance", Integer.toString(Pair.of(e.number())));
      data.put("state", e.state().word());
      data.put("delivered_ml", Long.toString(e.deliveredMl()));
      return Optional.of(
          String.format(
              Locale.ROOT,
              "order %d of instance %d: %s, %.2f L delivered",
              e.number(),
              Pair.of(e.number()),
              e.state().word(),
              e.deliveredMl() / 1000.0));
    }
    return Optional.empty();
  }
}
