package org.bathwarden.cli;

import java.io.PrintWriter;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.bathwarden.config.Configuration;
import org.bathwarden.dosing.DosingLimits;
import org.bathwarden.dosing.ProductLimits;
import org.bathwarden.dosing.ProofItem;
import org.bathwarden.dosing.ProofPlan;
import org.bathwarden.line.Permit;
import org.bathwarden.tank.Product;
import org.jspecify.annotations.Nullable;

/** What a configuration lets one tank do, as data and for people. */
final class TankCheck {

  private TankCheck() {}

  static Map<String, Object> settings(Configuration.Line line, Configuration.Tank tank) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("tank", tank.id().name());
    data.put("connection", line.name());
    data.put("number", tank.items().tankNumber());
    data.put("mode", word(tank.sheet().dosing().mode()));
    ProofPlan proofs = tank.sheet().dosing().proofs();
    data.put("proofs_demanded", proofs.demanded());
    data.put("proofs", proofs.exempt().map(why -> "not demanded: " + why).orElse(words(proofs)));
    data.put("not_wired", words(tank.items().unwired()));
    data.put("signed_off", words(tank.sheet().bypassed()));
    DosingLimits limits = tank.sheet().dosing().limits();
    Map<String, Object> products = new LinkedHashMap<>();
    for (Product product : Product.values()) {
      products.put(product.word(), limits(limits.of(product)));
    }
    data.put("limits", products);
    data.put("mixing_wait_s", limits.mixingWait().toSeconds());
    data.put("titration_interval_h", limits.titrationInterval().toMinutes() / 60.0);
    data.put("normal_use_l_per_h", rounded(tank.normalUseLPerH()));
    data.put("hours_of_authority", finite(limits.hoursOfAuthority(tank.normalUseLPerH())));
    data.put(
        "hours_of_authority_at_double_use",
        finite(limits.hoursOfAuthority(2 * tank.normalUseLPerH())));
    return data;
  }

  private static String words(ProofPlan proofs) {
    long needed = proofs.items().stream().filter(ProofItem::needed).count();
    return needed
        + " items before it may command, again every "
        + proofs.interval().toDays()
        + " days (command prove)";
  }

  private static Map<String, Object> limits(ProductLimits limits) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("smallest_portion_l", finite(limits.smallestPortionL()));
    data.put("portion_l", finite(limits.portionL()));
    data.put("per_hour_l", finite(limits.perHourL()));
    data.put("per_8h_l", finite(limits.per8hL()));
    data.put("since_titration_l", finite(limits.sinceTitrationL()));
    return data;
  }

  private static void limits(PrintWriter out, Object product, Map<?, ?> values) {
    out.printf(
        "  limits of %s: %s%n",
        product,
        values.entrySet().stream()
            .map(limit -> limit.getKey() + "=" + words(limit.getValue()))
            .collect(Collectors.joining(", ")));
  }

  /** JSON knows no infinity: what has no limit is null there. */
  private static Optional<Double> finite(double value) {
    return Double.isInfinite(value) ? Optional.empty() : Optional.of(rounded(value));
  }

  private static String words(@Nullable Object number) {
    return number instanceof Optional<?> limit
        ? limit.map(Object::toString).orElse("no limit")
        : String.valueOf(number);
  }

  private static double rounded(double value) {
    return Math.round(value * 1000) / 1000.0;
  }

  static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static String join(List<?> words) {
    return words.stream().map(Object::toString).collect(Collectors.joining(", "));
  }

  private static List<String> words(Collection<Permit> permits) {
    return permits.stream().sorted().map(TankCheck::word).toList();
  }

  static void print(PrintWriter out, Map<String, Object> tank) {
    out.printf(
        "%n%s (tank %s of %s): mode %s%n",
        tank.get("tank"), tank.get("number"), tank.get("connection"), tank.get("mode"));
    if (tank.get("not_wired") instanceof List<?> permits && !permits.isEmpty()) {
      out.printf("  permits not wired: %s; signed off: %s%n", permits, tank.get("signed_off"));
    }
    out.printf("  proofs at the line: %s%n", tank.get("proofs"));
    if (tank.get("prove_again") instanceof List<?> again && !again.isEmpty()) {
      out.printf("  to prove again: %s%n", join(again));
    }
    if (tank.get("limits") instanceof Map<?, ?> limits) {
      limits.forEach((product, values) -> limits(out, product, (Map<?, ?>) values));
    }
    out.printf(
        "  mixing wait %s s; concentrate at normal use %s L/h%n",
        tank.get("mixing_wait_s"), tank.get("normal_use_l_per_h"));
    out.printf(
        "  hours of authority, that is how long it may dose after an accepted titration before a limit"
            + " holds it: %s at normal use, %s at double use; titration every %s h%n",
        words(tank.get("hours_of_authority")),
        words(tank.get("hours_of_authority_at_double_use")),
        tank.get("titration_interval_h"));
    if (tank.get("live") instanceof Map<?, ?> live) {
      LiveTable.print(out, live);
    }
  }
}
