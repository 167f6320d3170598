package org.bathwarden.config;

import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.line.modbus.BusLoad;
import org.bathwarden.line.modbus.ModbusRoute;
import org.bathwarden.line.modbus.ModbusSettings;

/** Whether what a scan asks for fits through the serial line at its baud rate. */
final class SerialTiming {

  /** Shares of the scan within which reading, and all of it with one order, must be over. */
  private static final double READ_SHARE = 0.6;

  private static final double SHARE = 0.95;

  private SerialTiming() {}

  static void check(
      Section line,
      ModbusSettings settings,
      Duration scan,
      Duration roundTrip,
      List<Problem> problems) {
    Optional<ModbusRoute.Character> character = settings.route().character();
    if (character.isEmpty() || settings.tanks().isEmpty()) {
      return;
    }
    BusLoad load = BusLoad.of(settings, character.get());
    int tanks = settings.tanks().size();
    Duration answering = roundTrip.multipliedBy(tanks);
    Duration reads = load.reads().plus(answering);
    Duration all = reads.plus(load.beats()).plus(load.order());
    if (reads.toNanos() > READ_SHARE * scan.toNanos() || all.toNanos() > SHARE * scan.toNanos()) {
      problems.add(
          line.error(
              line.has("baud") ? "baud" : "",
              String.format(
                  Locale.ROOT,
                  "does not fit: at %d baud the images of %d tanks take %d ms of the scan of %d ms"
                      + " (up to 60 %%), with heartbeats and an order %d ms (up to 95 %%), of which"
                      + " the units' answering (round_trip) is %d ms; raise the baud rate, or put"
                      + " fewer tanks on this line",
                  character.get().baud(),
                  tanks,
                  ms(reads),
                  scan.toMillis(),
                  ms(all),
                  answering.toMillis())));
    }
    if (settings.requestTimeout().compareTo(load.longest().plus(roundTrip)) < 0) {
      problems.add(
          line.error(
              "timeout",
              String.format(
                  Locale.ROOT,
                  "the longest request and its reply take %d ms at %d baud, and round_trip is %d"
                      + " ms: must be at least their sum",
                  ms(load.longest()),
                  character.get().baud(),
                  roundTrip.toMillis())));
    }
  }

  private static long ms(Duration duration) {
    return Math.round(duration.toNanos() / 1e6);
  }
}
