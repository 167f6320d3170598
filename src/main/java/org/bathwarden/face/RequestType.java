package org.bathwarden.face;

import java.time.Duration;
import java.util.Optional;
import org.bathwarden.tank.BathState;
import org.bathwarden.tank.DrumCheck;
import org.bathwarden.tank.EndPoint;
import org.bathwarden.tank.Entry;
import org.bathwarden.tank.Entry.Titration.Unit;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.ProcedureKind;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.Role;
import org.bathwarden.tank.Stamp;

/** What can be asked, over which way, and with which fields. */
enum RequestType {
  ACKNOWLEDGE(true, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Acknowledge(stamp, f.text("alarm", NAME), f.textOrNone("comment", TEXT));
    }
  },
  SHELVE(true, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      Duration duration = Duration.ofMinutes(f.whole("minutes", 0, 24 * 60));
      return new Entry.Shelve(stamp, f.text("alarm", NAME), duration, f.text("reason", TEXT));
    }
  },
  ALARM_RESET(true, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.AlarmReset(stamp, f.text("alarm", NAME));
    }
  },
  TITRATION(true, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      Optional<Unit> known = f.oneOf("unit", Unit.values(), unit -> true);
      if (known.isEmpty()) {
        f.textOrNone("method", NAME);
        f.numberOrNone("u_pct", 1e-4, 100);
      }
      Unit unit = known.orElse(Unit.READING);
      return new Entry.Titration(
          stamp,
          switch (unit) {
            case DROPS -> f.whole("value", 0, 1000);
            case PCT -> f.number("value", 0, 100);
            case READING -> f.number("value", 0, LARGEST_READING);
          },
          unit,
          f.word("end_point", EndPoint.values()),
          unit == Unit.PCT ? f.number("u_pct", 1e-4, 100) : 0,
          known.filter(Unit.READING::equals).map(reading -> f.text("method", NAME)),
          f.textOrNone("note", TEXT));
    }
  },
  ADDITION(true, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Addition(
          stamp,
          f.word("product", Product.values()),
          f.number("litres", SMALLEST_L, LARGEST_L),
          f.flag("metered"),
          lot(f));
    }
  },
  ACCEPT_PROPOSAL(true, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProposalAnswer(stamp, proposal(f), true);
    }
  },
  DECLINE_PROPOSAL(true, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProposalAnswer(stamp, proposal(f), false);
    }
  },
  SETTLE_PROPOSAL(true, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProposalSettled(
          stamp, proposal(f), f.number("litres", 0, LARGEST_L), lot(f));
    }
  },
  MODE(true, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ModeRequest(stamp, f.word("mode", Mode.values()));
    }
  },
  EVENTS_SINCE(true, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      throw new IllegalStateException("answered by the face itself");
    }
  },
  REMOVAL(false, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Removal(
          stamp, f.number("litres", SMALLEST_L, LARGEST_L), f.text("reason", TEXT));
    }
  },
  CHARGE(false, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Charge(
          stamp, f.number("concentration_pct", 0, 100), f.number("u_pct", 1e-4, 100));
    }
  },
  CONFIRM(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Confirmed(stamp, f.text("entry", NAME));
    }
  },
  CORRECTION(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Correction(stamp, f.text("entry", NAME), f.text("reason", TEXT));
    }
  },
  PROBE_CARE(false, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProbeCare(
          stamp, Fields.word(f.word("probe", Probe.values())), f.flag("replaced"));
    }
  },
  BATH_STATE(false, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      BathState state = f.word("state", BathState.values());
      return new Entry.BathChange(stamp, state, f.wordOr("role", Role.values(), Role.OPERATOR));
    }
  },
  DRUM_CHANGE(false, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.DrumChange(
          stamp,
          f.text("product", NAME),
          f.text("lot", NAME),
          f.number("litres", SMALLEST_L, LARGEST_L),
          f.flag("primed"),
          new DrumCheck(f.day("expires_on"), some(f, "scan", TEXT), some(f, "checked_by", NAME)));
    }
  },
  PROCEDURE_BEGIN(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProcedureBegun(
          stamp,
          f.word("procedure", ProcedureKind.values()),
          f.word("role", Role.values()),
          f.flagOr("run_out", false));
    }
  },
  PROCEDURE_STEP(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProcedureStepDone(
          stamp,
          f.text("step", NAME),
          f.word("role", Role.values()),
          new Entry.ProcedureStepDone.Told(
              f.numberOrNone("litres", 0, LARGEST_L),
              f.numberOrNone("temperature_c", -20, 150),
              some(f, "route", TEXT),
              some(f, "document", NAME),
              lot(f)));
    }
  },
  PROCEDURE_ABANDON(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProcedureAbandoned(stamp, f.text("reason", TEXT));
    }
  },
  QUALITY_CHECK(false, true) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      String check = Fields.word(f.word("check", Check.values())).replace('_', '-');
      return new Entry.QualityCheck(stamp, check, f.flag("passed"));
    }
  },
  RELEASE(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Release(stamp);
    }
  },
  TRIP_RESET(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.TripReset(stamp, f.text("interlock", NAME), f.word("role", Role.values()));
    }
  },
  BYPASS(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Bypass(
          stamp,
          f.text("interlock", NAME),
          f.word("role", Role.values()),
          f.text("reason", TEXT),
          Duration.ofMinutes(f.whole("minutes", 0, 24 * 60)));
    }
  },
  RESYNCHRONISE(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.Resynchronise(stamp);
    }
  },
  TAKE_LINE(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.TakeLine(stamp);
    }
  },
  PROOF_RESULT(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ProofResult(
          stamp,
          f.text("item", NAME),
          f.flag("passed"),
          f.numberOrNone("measured", -1e6, 1e6),
          f.textOrNone("note", TEXT));
    }
  },
  TEST_DOSE(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.TestDose(stamp, f.word("product", Product.values()), f.flag("watchdog"));
    }
  },
  SERVICE_CHANGE(false, false) {
    @Override
    Entry entry(Fields f, Stamp stamp) {
      return new Entry.ServiceChange(
          stamp, f.text("alarm", NAME), f.flag("out_of_service"), f.text("reason", TEXT));
    }
  };

  private static final int NAME = 64;
  private static final int TEXT = 500;
  private static final double SMALLEST_L = 1e-3;
  private static final double LARGEST_L = 100_000;
  private static final double LARGEST_READING = 10_000;

  private final boolean overMqtt;
  private final boolean speaksOfThePast;

  RequestType(boolean overMqtt, boolean speaksOfThePast) {
    this.overMqtt = overMqtt;
    this.speaksOfThePast = speaksOfThePast;
  }

  private enum Probe {
    CONDUCTIVITY,
    PH,
    LEVEL,
    TEMPERATURE
  }

  private enum Check {
    WATER_BREAK,
    STAINING
  }

  /** Whether it may come over MQTT, where the author is a claim. */
  boolean overMqtt() {
    return overMqtt;
  }

  /** Whether it carries {@code happened_at}. */
  boolean speaksOfThePast() {
    return speaksOfThePast;
  }

  /** Reads the fields of this type; problems are kept in {@code f}. */
  abstract Entry entry(Fields f, Stamp stamp);

  private static long proposal(Fields f) {
    return f.whole("proposal", 1, Long.MAX_VALUE);
  }

  private static Optional<String> lot(Fields f) {
    return some(f, "lot", NAME);
  }

  private static Optional<String> some(Fields f, String name, int longest) {
    return Optional.of(f.textOrNone(name, longest)).filter(text -> !text.isEmpty());
  }
}
