package org.bathwarden.bench.real;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.IntToDoubleFunction;
import org.bathwarden.config.Configuration;
import org.bathwarden.cycle.Fact;
import org.bathwarden.face.Request;
import org.bathwarden.record.RecordException;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.service.Audience;
import org.bathwarden.service.Service;
import org.bathwarden.service.TankRunner;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Stamp;
import org.bathwarden.tank.TankId;

/**
 * Without a titration nobody doses: one of each tank goes into the record before the first start of
 * a process, by two minutes in lockstep that end now, in which nothing is ordered.
 */
public final class FirstTitration {

  private static final int LOCKSTEP_S = 120;
  private static final int ENTERED_AT_S = 20;
  private static final double U_PCT = 0.15;
  private static final Duration PATIENCE = Duration.ofSeconds(20);

  private FirstTitration() {}

  /**
   * Enters them.
   *
   * @param second runs the plants on by a second
   * @param truePct what is in each tank, by its index
   */
  public static void enter(
      Configuration configuration, Runnable second, IntToDoubleFunction truePct)
      throws IOException, RecordException {
    List<Configuration.Tank> tanks = configuration.tanks();
    Judged judged = new Judged(new HashSet<>());
    Instant from = Instant.now().minusSeconds(LOCKSTEP_S);
    try (SqliteRecord record = SqliteRecord.open(configuration.record());
        Service service =
            new Service(configuration, record, judged, Now.at(from), Optional.of(PATIENCE))) {
      service.leaveCommand();
      for (int s = 1; s <= LOCKSTEP_S && judged.tanks().size() < tanks.size(); s++) {
        second.run();
        Instant now = from.plusSeconds(s);
        service.round(Now.at(now));
        for (int i = 0; i < tanks.size() && s == ENTERED_AT_S; i++) {
          service.offer(titration(tanks.get(i), truePct.applyAsDouble(i), now));
        }
      }
    }
    if (judged.tanks().size() < tanks.size()) {
      throw new AssertionError("titrated: " + judged.tanks());
    }
  }

  /** Tanks of which a titration was judged. */
  private record Judged(Set<TankId> tanks) implements Audience {
    @Override
    public void passed(TankRunner.Passed passed, boolean stored) {
      if (passed.result().facts().stream().anyMatch(Fact.TitrationJudged.class::isInstance)) {
        tanks.add(passed.tank().sheet().tank().id());
      }
    }
  }

  private static Request titration(Configuration.Tank tank, double truePct, Instant now) {
    return new Request(
        new Entry.Titration(
            new Stamp(
                "titration-" + tank.id(),
                tank.id(),
                "chemist on shift",
                Stamp.Channel.CONSOLE,
                now,
                now),
            truePct,
            Entry.Titration.Unit.PCT,
            tank.sheet().tank().chemistry().endPoint(),
            U_PCT,
            ""),
        (accepted, text) -> {
          if (!accepted) {
            throw new AssertionError(text);
          }
        });
  }
}
