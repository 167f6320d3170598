package org.bathwarden.face;

import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.alarm.AlarmChange;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Order;
import org.bathwarden.dosing.Proposal;
import org.bathwarden.estimate.Finding;
import org.bathwarden.estimate.TitrationVerdict;
import org.bathwarden.tank.Entry;

/** What an event of the record says to people and to other programs. */
public final class EventText {

  private final Map<String, String> data = new LinkedHashMap<>();
  private String kind = "system";
  private String text = "";

  private EventText() {}

  /** The payload of {@code event}, which stands in the record as {@code sequence}. */
  public static EventPayload of(long sequence, Fact.Event event) {
    EventText words = new EventText();
    String id = event.tank() + "/" + sequence;
    if (event instanceof Fact.Alarmed alarmed) {
      id = alarmed.change().eventId();
      words.alarm(alarmed.change());
    } else if (event instanceof Fact.EntryTaken taken) {
      words.entry(taken.entry(), "taken", "");
    } else if (event instanceof Fact.EntryRefused refused) {
      words.entry(refused.entry(), "refused", refused.reason());
    } else if (event instanceof Fact.TitrationJudged judged) {
      words.titration(judged.verdict());
    } else if (event instanceof Fact.Found found) {
      words.finding(found.finding());
    } else if (event instanceof Fact.Dosed dosed) {
      words.dosing(dosed.event());
    } else if (event instanceof Fact.SettingsChanged changed) {
      words.settings(changed);
    } else if (event instanceof Fact.RecordDamaged damaged) {
      words.damage(damaged);
    }
    Instant at = event.at().wall();
    return new EventPayload(
        sequence, id, at, event.tank().name(), words.kind, words.text, words.data);
  }

  private void alarm(AlarmChange change) {
    kind = "alarm";
    text =
        String.format(
            "%s: %s (%s)%s",
            change.definition().title(), word(change.to()), word(change.priority()), value(change));
    data.put("alarm", change.definition().key().key());
    data.put("what", word(change.what()));
    data.put("from", word(change.from()));
    data.put("to", word(change.to()));
    data.put("priority", word(change.priority()));
    data.put("value", change.value());
    data.put("evidence", change.evidence());
    data.put("author", change.author());
    data.put("comment", change.comment());
    data.put("response_alone", change.definition().responseAlone());
    data.put("response_with_help", change.definition().responseWithHelp());
    data.put("respond_within_s", Long.toString(change.definition().respondWithin().toSeconds()));
  }

  /** A value is the one at the activation: it is not the present one of what has returned. */
  private static String value(AlarmChange change) {
    if (change.value().isBlank()) {
      return "";
    }
    boolean returned =
        switch (change.to()) {
          case NORMAL, RETURNED_UNACKNOWLEDGED, LATCHED_UNACKNOWLEDGED, LATCHED_ACKNOWLEDGED ->
              true;
          case UNACKNOWLEDGED, ACKNOWLEDGED, SHELVED, SUPPRESSED_BY_DESIGN, OUT_OF_SERVICE -> false;
        };
    return (returned ? ", was raised at " : ", ") + change.value();
  }

  private void entry(Entry entry, String outcome, String reason) {
    kind = "entry";
    String what = words(entry.getClass().getSimpleName());
    text = what + " by " + entry.stamp().author() + " " + outcome;
    if (!reason.isEmpty()) {
      text += ": " + reason;
      data.put("reason", reason);
    }
    data.put("entry", entry.stamp().id());
    data.put("what", what);
    data.put("outcome", outcome);
    data.put("author", entry.stamp().author());
    data.put("channel", word(entry.stamp().channel()));
    data.put("happened_at", entry.stamp().happenedAt().toString());
    if (entry instanceof Entry.Confirmed confirmed) {
      data.put("confirms", confirmed.entry());
    } else if (entry instanceof Entry.Correction correction) {
      data.put("corrects", correction.entry());
      data.put("because", correction.reason());
    }
  }

  private void titration(TitrationVerdict verdict) {
    kind = "finding";
    text =
        format(
            "titration %.2f %% against %.2f %% expected: %s%s",
            verdict.resultPct(),
            verdict.predictedPct(),
            word(verdict.verdict()),
            verdict.vouched() ? "" : ", came over MQTT and waits to be confirmed");
    data.put("entry", verdict.entryId());
    data.put("verdict", word(verdict.verdict()));
    data.put("vouched", Boolean.toString(verdict.vouched()));
    data.put("result_pct", format("%.3f", verdict.resultPct()));
    data.put("as_counted_pct", format("%.3f", verdict.resultAsCountedPct()));
    data.put("expected_pct", format("%.3f", verdict.predictedPct()));
    data.put("sample_at", verdict.sampleAt().toString());
  }

  private void finding(Finding finding) {
    kind = "finding";
    text = (finding.withdrawn() ? "withdrawn: " : "found: ") + finding.detail();
    data.put("number", Long.toString(finding.number()));
    data.put("finding", finding.kind().word());
    data.put("subject", finding.subject());
    data.put("since", finding.since().toString());
    data.put("withdrawn", Boolean.toString(finding.withdrawn()));
  }

  private void settings(Fact.SettingsChanged changed) {
    text = "settings " + changed.fingerprint() + " are in force";
    data.put("fingerprint", changed.fingerprint());
    data.put("before", changed.before());
  }

  private void damage(Fact.RecordDamaged damaged) {
    text = "the record was damaged: " + String.join("; ", damaged.lost());
    data.put("aside", damaged.aside());
  }

  private void dosing(DosingEvent event) {
    kind = "order";
    if (event instanceof DosingEvent.OrderPrepared e) {
      order(e.order(), "ordered", "");
      data.put("reason", e.order().reason());
    } else if (event instanceof DosingEvent.OrderTaken e) {
      text = "order " + e.number() + " taken up";
      data.put("number", Long.toString(e.number()));
    } else if (event instanceof DosingEvent.OrderClosed e) {
      String why = e.why();
      String words = e.stoppedBy().map(by -> " by " + by).orElse(why.isEmpty() ? "" : ", " + why);
      order(
          e.order(),
          e.state().word() + words,
          format(", %s%.2f L delivered", e.atMost() ? "at most " : "", e.deliveredMl() / 1000.0));
      data.put("state", e.state().word());
      data.put("delivered_ml", Long.toString(e.deliveredMl()));
      if (e.atMost()) {
        data.put("at_most", "true");
      }
      if (!why.isEmpty()) {
        data.put("reason", why);
      }
    } else if (event instanceof DosingEvent.OrderDisagrees e) {
      text = word(e.what()) + ": " + e.detail();
      data.put("what", word(e.what()));
      data.put("number", Long.toString(e.number()));
    } else {
      Optional<String> line = LineText.of(event, data);
      line.ifPresent(words -> text = words);
      if (line.isEmpty()) {
        people(event);
      }
    }
  }

  private void order(Order order, String state, String rest) {
    text =
        format(
            "order %d, %.2f L of %s: %s%s",
            order.number(), order.orderedMl() / 1000.0, order.product().word(), state, rest);
    data.put("number", Long.toString(order.number()));
    data.put("product", order.product().word());
    data.put("ordered_ml", Long.toString(order.orderedMl()));
    data.put("state", state);
    data.put("instance", Integer.toString(order.instance()));
  }

  private void people(DosingEvent event) {
    if (event instanceof DosingEvent.ProposalMade e) {
      proposal(e.proposal(), "made");
      data.put("reason", e.proposal().reason());
    } else if (event instanceof DosingEvent.ProposalEnded e) {
      proposal(e.proposal(), word(e.end()));
      data.put("litres", format("%.2f", e.litres()));
      data.put("author", e.author());
    } else if (event instanceof DosingEvent.ProposalAccepted e) {
      kind = "proposal";
      text = "proposal " + e.number() + " accepted by " + e.owner();
      data.put("number", Long.toString(e.number()));
      data.put("author", e.owner());
    } else if (event instanceof DosingEvent.ProposalAsked e) {
      kind = "proposal";
      text = e.owner() + " is asked what became of proposal " + e.number();
      data.put("number", Long.toString(e.number()));
    } else if (event instanceof DosingEvent.ModeChanged e) {
      kind = "mode";
      text = "mode " + word(e.from()) + " to " + word(e.to()) + ": " + e.reason();
      data.put("from", word(e.from()));
      data.put("to", word(e.to()));
      data.put("author", e.author());
    } else if (event instanceof DosingEvent.BathChanged e) {
      kind = "bath";
      text = "bath " + words(e.from().name()) + " to " + words(e.to().name());
      data.put("from", word(e.from()));
      data.put("to", word(e.to()));
      data.put("author", e.author());
    } else if (event instanceof DosingEvent.ProcedureMoved e) {
      procedure(e);
    } else if (event instanceof DosingEvent.AdditionBooked e) {
      kind = "entry";
      text = format("%.2f L of %s poured by hand booked", e.litres(), e.product().word());
      data.put("author", e.author());
    } else if (event instanceof DosingEvent.Tripped e) {
      text = "tripped: " + e.words();
      data.put("interlock", e.interlock());
    } else if (event instanceof DosingEvent.TripWasReset e) {
      text = "trip " + e.interlock() + " reset by " + e.author();
      data.put("interlock", e.interlock());
      data.put("author", e.author());
    } else if (event instanceof DosingEvent.Bypassed e) {
      text = e.words();
      data.put("interlock", e.interlock());
      data.put("author", e.author());
    } else if (event instanceof DosingEvent.Proved e) {
      proof(e.item(), e.proof().passed() ? "passed" : "failed", e.proof().author());
      text += e.proof().evidence().isEmpty() ? "" : ": " + e.proof().evidence();
      data.put("fingerprint", e.proof().fingerprint());
      data.put("evidence", e.proof().evidence());
      data.put("note", e.proof().note());
    } else if (event instanceof DosingEvent.TestDoseEnded e) {
      proof(e.item(), e.good() ? "test dose as it should be" : "test dose failed", e.owner());
      text += ": " + e.words();
      data.put("evidence", e.words());
    } else if (event instanceof DosingEvent.BypassEnded e) {
      text = e.words();
      data.put("interlock", e.interlock());
    } else {
      text = words(event.getClass().getSimpleName());
    }
  }

  private void procedure(DosingEvent.ProcedureMoved e) {
    kind = "procedure";
    text = words(e.procedure().name()) + ", " + e.step().words() + ": " + e.what();
    text += e.words().isEmpty() ? "" : ": " + e.words();
    data.put("procedure", word(e.procedure()));
    data.put("step", e.step().key());
    data.put("what", e.what());
    data.put("author", e.author());
  }

  private void proof(String item, String result, String author) {
    kind = "proof";
    text = "proof of " + item + ": " + result + ", " + author;
    data.put("item", item);
    data.put("result", result);
    data.put("author", author);
  }

  private void proposal(Proposal proposal, String what) {
    kind = "proposal";
    text =
        format(
            "proposal %d, %.2f L of %s: %s",
            proposal.number(), proposal.litres(), proposal.product().word(), what);
    data.put("number", Long.toString(proposal.number()));
    data.put("product", proposal.product().word());
  }

  private static String format(String pattern, Object... values) {
    return String.format(Locale.ROOT, pattern, values);
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }

  private static String words(String name) {
    String spaced = name.replaceAll("([a-z])([A-Z])", "$1 $2");
    return spaced.toLowerCase(Locale.ROOT).replace('_', ' ');
  }
}
