package org.bathwarden.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.bathwarden.face.ProceduresPayload;

/** One person's way through the procedure of one tank. */
final class ProcedureRound {

  /** Steps that ask for litres. */
  private static final List<String> IN_LITRES = List.of("portion", "check_portion", "drain");

  private final ConsoleDesk desk;
  private final String role;

  ProcedureRound(ConsoleDesk desk, String role) {
    this.desk = desk;
    this.role = role;
  }

  private ProceduresPayload look() throws IOException, InterruptedException {
    return desk.client
        .procedures()
        .flatMap(all -> all.stream().filter(one -> one.tank().equals(desk.tank)).findFirst())
        .orElseThrow(() -> new IOException("the service does not answer any more"));
  }

  boolean begin(String procedure, boolean runOut) throws IOException, InterruptedException {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("procedure", procedure);
    fields.put("role", role);
    fields.put("run_out", runOut);
    return desk.enter(look().at(), "procedure_begin", fields);
  }

  boolean tell(String step, Map<String, Object> told) throws IOException, InterruptedException {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("step", step);
    fields.put("role", role);
    fields.putAll(told);
    return desk.enter(look().at(), "procedure_step", fields);
  }

  boolean abandon(String reason) throws IOException, InterruptedException {
    return desk.enter(look().at(), "procedure_abandon", Map.of("reason", reason));
  }

  /** The procedure that was begun, not a guide that begins by itself. */
  private static Optional<ProceduresPayload.Guide> begun(ProceduresPayload of) {
    return of.guides().stream().filter(guide -> guide.by().isPresent()).findFirst();
  }

  /** Asks step by step until the procedure is over or the person stops. */
  int walk(BufferedReader in) throws IOException, InterruptedException {
    while (true) {
      ProceduresPayload now = look();
      Optional<ProceduresPayload.Guide> open = begun(now);
      list(desk.out, now);
      String question =
          open.isEmpty()
              ? "c begin a charge, d a drain, o a change-out, q quit, Enter look again"
              : (present(open.get()).told() ? "t tell that it is done, " : "")
                  + "a abandon, q quit, Enter look again";
      Optional<String> answer = desk.ask(in, question);
      if (answer.isEmpty() || answer.get().equals("q")) {
        return 0;
      }
      if (open.isEmpty()) {
        begin(answer.get());
      } else {
        goOn(in, open.get(), answer.get());
      }
    }
  }

  private void begin(String answer) throws IOException, InterruptedException {
    Map<String, String> kinds = Map.of("c", "charge", "d", "drain", "o", "change_out");
    if (kinds.containsKey(answer)) {
      begin(kinds.getOrDefault(answer, ""), false);
    }
  }

  private void goOn(BufferedReader in, ProceduresPayload.Guide open, String answer)
      throws IOException, InterruptedException {
    if (answer.equals("a")) {
      abandon(desk.ask(in, "why").orElse(""));
    } else if (answer.equals("t")) {
      tell(open.step(), asked(in, open.step()));
    }
  }

  private Map<String, Object> asked(BufferedReader in, String step) throws IOException {
    Map<String, Object> told = new LinkedHashMap<>();
    if (IN_LITRES.contains(step)) {
      desk.askNumber(in, "litres").ifPresent(value -> told.put("litres", value));
    }
    if (step.equals("portion")) {
      desk.ask(in, "lot").filter(text -> !text.isEmpty()).ifPresent(lot -> told.put("lot", lot));
    }
    if (step.equals("permit")) {
      told.put("route", desk.ask(in, "waste route").orElse(""));
      told.put("document", desk.ask(in, "number of its document").orElse(""));
    }
    return told;
  }

  private static ProceduresPayload.Step present(ProceduresPayload.Guide guide) {
    return guide.steps().stream()
        .filter(step -> step.state().equals("now"))
        .findFirst()
        .orElseThrow();
  }

  /** Where everything stands. */
  static void list(PrintWriter out, ProceduresPayload of) {
    out.printf("%s: bath %s%n", of.tank(), of.bath().replace('_', ' '));
    if (of.guides().isEmpty()) {
      out.println("  no procedure is open");
    }
    for (ProceduresPayload.Guide guide : of.guides()) {
      list(out, guide);
    }
    out.flush();
  }

  private static void list(PrintWriter out, ProceduresPayload.Guide guide) {
    String by = guide.by().map(name -> ", begun by " + name).orElse("");
    out.printf("  %s%s%n", guide.procedure().replace('_', ' '), by);
    for (ProceduresPayload.Step step : guide.steps()) {
      out.printf("    %-4s %s%n", step.state().equals("ahead") ? "" : step.state(), step.step());
    }
    ProceduresPayload.Step now = present(guide);
    out.println("  do:   " + now.toDo());
    out.println("  see:  " + now.toSee());
    now.now().ifPresent(text -> out.println("  now:  " + text));
    now.cautions().forEach(text -> out.println("  mind: " + text));
    if (!guide.awaits().equals(now.toDo())) {
      out.println("  " + guide.awaits());
    }
  }

  /** The same as data. */
  static Map<String, Object> data(ProceduresPayload of) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("tank", of.tank());
    data.put("at", of.at().toString());
    data.put("bath", of.bath());
    data.put("guides", of.guides().stream().map(ProcedureRound::data).toList());
    return data;
  }

  private static Map<String, Object> data(ProceduresPayload.Guide guide) {
    Map<String, Object> data = new LinkedHashMap<>();
    data.put("procedure", guide.procedure());
    data.put("step", guide.step());
    data.put("awaits", guide.awaits());
    data.put("role", guide.role());
    data.put("litres", guide.litres());
    data.put("by", guide.by());
    return data;
  }
}
