package org.bathwarden.bench.campaign;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.function.Function;
import java.util.function.Supplier;
import java.util.function.UnaryOperator;
import org.bathwarden.cycle.Fact;
import org.bathwarden.cycle.StateSnapshot;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.DosingState;
import org.bathwarden.dosing.Procedures;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineWrite;
import org.bathwarden.line.LineWriter;
import org.bathwarden.line.OrderBlock;
import org.bathwarden.line.PlcWords;
import org.bathwarden.line.WriteResult;
import org.bathwarden.record.Commit;
import org.bathwarden.record.ForwardingRecord;
import org.bathwarden.record.Record;
import org.bathwarden.record.RecordException;
import org.bathwarden.tank.TankId;

/** Mistakes that a controller could make, planted where it meets line and record. */
enum Mistake {
  /** An order whose write brought no reply is sent again, under a fresh number, until one does. */
  RESENDS_ON_DOUBT(ResendsOnDoubt::new),
  /** What was ordered is booked, not what flowed. */
  BOOKS_WHAT_WAS_ORDERED(() -> new Booking(Mistake::asOrdered)),
  /** What was ordered is booked, and said to be the most that can have flowed. */
  CALLS_WHAT_WAS_ORDERED_A_BOUND(
      () -> new Booking(fact -> closed(fact, e -> atMost(e, e.order().orderedMl(), true)))),
  /** An order is booked as soon as it ends, while the pump runs down. */
  BOOKS_BEFORE_THE_COUNT_IS_CLOSED(FinalAtOnce::new),
  /** An order is written before it is on the disk. */
  NO_WRITE_AHEAD(NoWriteAhead::new),
  /** An order that nobody took up in time is void, without raising the watermark to it. */
  VOIDS_WITHOUT_WATERMARK(VoidsWithoutWatermark::new),
  /** An order that runs is never abandoned. */
  LETS_ORDERS_RUN(LetsOrdersRun::new),
  /** A procedure that was open is not, after a start. */
  FORGETS_PROCEDURES(() -> new Records(ForgetsProcedures::new)),
  /** What a person told of a step is stored, that the procedure moved is not. */
  LOSES_STEPS(() -> new Records(LosesSteps::new)),
  /** Of events that wait for the broker only the newest are kept. */
  DROPS_WAITING_EVENTS(() -> new Records(DropsWaitingEvents::new));

  private final Supplier<Seams> planted;

  Mistake(Supplier<Seams> planted) {
    this.planted = planted;
  }

  /** Whether it can show in {@code sequence}: some only where people work on the bath. */
  boolean concerns(Sequence sequence) {
    boolean ofBaths = this == LETS_ORDERS_RUN || this == FORGETS_PROCEDURES;
    return !ofBaths || sequence.strikes().stream().anyMatch(s -> s.kind().bathWork());
  }

  /** A controller that makes it, for one run. */
  Seams planted() {
    return planted.get();
  }

  private static Fact asOrdered(Fact fact) {
    return closed(fact, e -> atMost(e, e.order().orderedMl(), e.atMost()));
  }

  /** A controller that books each order for which something flowed otherwise. */
  static Seams booking(UnaryOperator<DosingEvent.OrderClosed> otherwise) {
    return new Booking(fact -> closed(fact, otherwise));
  }

  private static Fact closed(Fact fact, UnaryOperator<DosingEvent.OrderClosed> otherwise) {
    return fact instanceof Fact.Dosed dosed
            && dosed.event() instanceof DosingEvent.OrderClosed e
            && e.deliveredMl() > 0
        ? new Fact.Dosed(otherwise.apply(e))
        : fact;
  }

  /** The same booked with another volume. */
  static DosingEvent.OrderClosed atMost(DosingEvent.OrderClosed e, long ml, boolean atMost) {
    return new DosingEvent.OrderClosed(
        e.tank(),
        e.at(),
        e.order(),
        e.state(),
        ml,
        e.reason(),
        e.stoppedBy(),
        e.totalizerMl(),
        atMost);
  }

  /** Books each fact otherwise. */
  private record Booking(UnaryOperator<Fact> otherwise) implements Seams {
    @Override
    public Record record(Record sound) {
      return new ForwardingRecord(sound) {
        @Override
        public Commit append(List<Fact> round) {
          return super.append(round.stream().map(otherwise).toList());
        }
      };
    }
  }

  /** Another record over the sound one. */
  private record Records(UnaryOperator<Record> over) implements Seams {
    @Override
    public Record record(Record sound) {
      return over.apply(sound);
    }
  }

  private static final class LetsOrdersRun implements Seams {
    @Override
    public Function<TankId, LineWriter> writers(Function<TankId, LineWriter> sound) {
      return tank -> {
        LineWriter writer = sound.apply(tank);
        return (what, by) ->
            what instanceof LineWrite.Abandon ? WriteResult.DONE : writer.write(what, by);
      };
    }
  }

  private static final class ForgetsProcedures extends ForwardingRecord {
    ForgetsProcedures(Record sound) {
      super(sound);
    }

    @Override
    public Loaded load(TankId tank) throws RecordException {
      Loaded l = super.load(tank);
      return new Loaded(
          l.state().map(k -> new Kept<>(k.steady(), without(k.value()))),
          l.alarm(),
          l.estimator(),
          l.damaged(),
          l.doubt());
    }

    private static StateSnapshot without(StateSnapshot s) {
      DosingState d = s.dosing();
      return new StateSnapshot(
          s.signal(),
          s.watches(),
          new DosingState(
              d.mode(),
              d.leaving(),
              d.bath(),
              d.chargedAt(),
              d.book(),
              d.proposals(),
              d.ledger(),
              d.interlocks(),
              d.titration(),
              d.drum(),
              d.shortInARow(),
              d.wantingSince(),
              d.proofs(),
              Procedures.NONE),
          s.alarm(),
          s.logbook());
    }
  }

  private static final class LosesSteps extends ForwardingRecord {
    LosesSteps(Record sound) {
      super(sound);
    }

    @Override
    public Commit append(List<Fact> round) {
      return super.append(round.stream().filter(fact -> !moved(fact)).toList());
    }

    private static boolean moved(Fact fact) {
      return fact instanceof Fact.Dosed dosed
          && dosed.event() instanceof DosingEvent.ProcedureMoved;
    }
  }

  private static final class DropsWaitingEvents extends ForwardingRecord {
    private static final int KEPT = 8;

    DropsWaitingEvents(Record sound) {
      super(sound);
    }

    @Override
    public List<StoredEvent> unpublished(long sequence, int max) throws RecordException {
      List<StoredEvent> all = super.unpublished(sequence, Integer.MAX_VALUE);
      all.stream().limit(Math.max(0, all.size() - KEPT)).forEach(e -> published(e.sequence()));
      return all.subList(Math.max(0, all.size() - KEPT), all.size());
    }
  }

  /** Takes the count that it sees first after an order's end for its last. */
  private static final class FinalAtOnce implements Seams {
    private final Map<TankId, Ended> ended = new HashMap<>();

    private record Ended(long number, long deliveredMl) {}

    @Override
    public LineReader reader(LineReader sound) {
      return new Shown(sound, this::closed);
    }

    private PlcWords closed(TankId tank, PlcWords words) {
      if (words.orderState() == PlcWords.RUNNING || words.orderTaken() == 0) {
        return words;
      }
      Ended first = ended.get(tank);
      if (first == null || first.number() != words.orderTaken()) {
        first = new Ended(words.orderTaken(), words.orderDeliveredMl());
        ended.put(tank, first);
      }
      return Shown.with(words, first.deliveredMl(), words.orderTaken(), words.abandonedTo());
    }
  }

  /** Takes a round for durable at once and hands it on with the next one. */
  private static final class NoWriteAhead implements Seams {
    @Override
    public Record record(Record sound) {
      List<Fact> held = new ArrayList<>();
      return new ForwardingRecord(sound) {
        @Override
        public Commit append(List<Fact> round) {
          List<Fact> all = new ArrayList<>(held);
          held.clear();
          if (round.stream().noneMatch(Fact::beforeWrite)) {
            all.addAll(round);
            return super.append(all);
          }
          held.addAll(round);
          super.append(all);
          return new Commit(CompletableFuture.completedFuture(Commit.Durable.DURABLE));
        }
      };
    }
  }

  /** Never abandons what does not run, and takes it for abandoned. */
  private static final class VoidsWithoutWatermark implements Seams {
    private final Map<TankId, Long> abandonedTo = new HashMap<>();
    private final Map<TankId, Long> taken = new HashMap<>();

    @Override
    public Function<TankId, LineWriter> writers(Function<TankId, LineWriter> sound) {
      return tank -> {
        LineWriter writer = sound.apply(tank);
        return (what, by) -> {
          if (what instanceof LineWrite.Abandon abandon
              && abandon.upTo() > taken.getOrDefault(tank, 0L)) {
            abandonedTo.merge(tank, abandon.upTo(), Math::max);
            return WriteResult.DONE;
          }
          return writer.write(what, by);
        };
      };
    }

    @Override
    public LineReader reader(LineReader sound) {
      return new Shown(
          sound,
          (tank, words) -> {
            taken.put(tank, words.orderTaken());
            return Shown.with(
                words,
                words.orderDeliveredMl(),
                words.orderFinal(),
                Math.max(words.abandonedTo(), abandonedTo.getOrDefault(tank, 0L)));
          });
    }
  }

  /** Keeps what is in doubt and orders it anew until the PLC takes it or a reply comes. */
  private static final class ResendsOnDoubt implements Seams {
    private static final int INSTANCES = 16;
    private final Map<TankId, LineWrite.Submit> doubtful = new HashMap<>();
    private final Map<TankId, PlcWords> shown = new HashMap<>();

    @Override
    public LineReader reader(LineReader sound) {
      return new Shown(
          sound,
          (tank, words) -> {
            shown.put(tank, words);
            return words;
          });
    }

    @Override
    public Function<TankId, LineWriter> writers(Function<TankId, LineWriter> sound) {
      return tank -> {
        LineWriter writer = sound.apply(tank);
        return (what, by) -> {
          WriteResult result = writer.write(what, by);
          LineWrite.Submit lost = doubtful.get(tank);
          PlcWords now = shown.get(tank);
          if (what instanceof LineWrite.Submit submit && result == WriteResult.UNKNOWN) {
            doubtful.put(tank, submit);
          } else if (lost != null && now != null && !now.orderOpen()) {
            LineWrite.Submit again = anew(lost, now);
            doubtful.put(tank, again);
            if (writer.write(again, by) == WriteResult.DONE) {
              doubtful.remove(tank);
            }
          }
          return result;
        };
      };
    }

    private static LineWrite.Submit anew(LineWrite.Submit submit, PlcWords now) {
      var b = submit.block();
      return new LineWrite.Submit(
          submit.tank(),
          submit.tankNumber(),
          new OrderBlock(
              b.product(),
              b.volumeMl(),
              b.timeLimitS(),
              b.number() + INSTANCES,
              b.epoch(),
              now.plcHeartbeat()));
    }
  }
}
