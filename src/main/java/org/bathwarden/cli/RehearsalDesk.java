package org.bathwarden.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.bathwarden.config.Configuration;
import org.bathwarden.face.Request;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/**
 * Enters titrations from a file while a rehearsal runs. Each line is {@code after,tank,value,unit}:
 * seconds after every line was reached at which the sample was drawn, tank, value, {@code drops} or
 * {@code pct}. Lines may be added while it runs; a line is entered once its time has come. One
 * thread.
 */
final class RehearsalDesk {

  private final Optional<Path> file;
  private final Configuration configuration;
  private final Now start;
  private final PrintWriter out;
  private int entered;
  private String lastProblem = "";

  RehearsalDesk(Optional<Path> file, Configuration configuration, Now start, PrintWriter out) {
    this.file = file;
    this.configuration = configuration;
    this.start = start;
    this.out = out;
  }

  void enterDue(Now now, Request.Sink desk) {
    if (file.isEmpty()) {
      return;
    }
    try {
      List<String> lines = Files.readAllLines(file.get());
      while (entered < lines.size() && take(lines.get(entered), entered + 1, now, desk)) {
        entered++;
      }
    } catch (IOException e) {
      problem(file.get() + ": cannot be read: " + e.getMessage());
    }
  }

  /** False if the line's time has not come. */
  private boolean take(String line, int number, Now now, Request.Sink desk) {
    if (line.isBlank() || line.startsWith("#") || line.startsWith("after,")) {
      return true;
    }
    String[] cells = line.split(",", -1);
    Optional<Configuration.Tank> tank =
        configuration.tanks().stream()
            .filter(t -> cells.length > 1 && t.id().name().equals(cells[1].strip()))
            .findFirst();
    if (cells.length != 4 || tank.isEmpty() || !cells[3].strip().matches("drops|pct")) {
      problem(
          file.orElseThrow()
              + ":"
              + number
              + ": found \""
              + line
              + "\"; allowed is after,tank,value,drops|pct with a tank of the configuration");
      return true;
    }
    try {
      Duration after = Duration.ofMillis(Math.round(1000 * Double.parseDouble(cells[0].strip())));
      double value = Double.parseDouble(cells[2].strip());
      if (now.steady().isBefore(start.steady().plus(after))) {
        return false;
      }
      enter(tank.get(), number, value, cells[3].strip(), now, start.plus(after), desk);
    } catch (NumberFormatException e) {
      problem(
          file.orElseThrow()
              + ":"
              + number
              + ": found \""
              + line
              + "\"; after is a number of scaled seconds, value a number");
    }
    return true;
  }

  private void enter(
      Configuration.Tank tank,
      int number,
      double value,
      String unit,
      Now now,
      Now drawn,
      Request.Sink desk) {
    TankId id = tank.id();
    Stamp stamp =
        new Stamp(
            "rehearsal-" + start.wall() + "-" + number,
            id,
            "rehearsal",
            Stamp.Channel.FILE,
            now.wall(),
            drawn.wall());
    boolean drops = unit.equals("drops");
    Entry entry =
        new Entry.Titration(
            stamp,
            value,
            Entry.Titration.Unit.valueOf(unit.toUpperCase(Locale.ROOT)),
            tank.sheet().tank().chemistry().endPoint(),
            drops ? 0 : 0.02 * Math.max(value, 0.5),
            "");
    boolean taken =
        desk.offer(
            new Request(
                entry,
                (accepted, text) -> {
                  if (!accepted) {
                    problem(id + ": titration of line " + number + " refused: " + text);
                  }
                }));
    if (!taken) {
      problem(id + ": titration of line " + number + " found no room");
    }
  }

  private void problem(String text) {
    if (!text.equals(lastProblem)) {
      out.println(text);
      out.flush();
      lastProblem = text;
    }
  }
}
