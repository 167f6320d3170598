package org.bathwarden.simulator.st;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The language itself. Source of expectations: IEC 61131-3, from memory, where nothing is named.
 */
class MachineTest {

  private static Machine of(String variables, String body) {
    String text = "PROGRAM P\nVAR " + variables + " END_VAR\n" + body + "\nEND_PROGRAM\n";
    return new Machine(new Program(Map.of("p.st", text), "P"));
  }

  private static long result(String type, String expression) {
    Machine machine =
        of(
            "r : " + type + "; five : UINT := 5; big : UDINT := 4294967295;",
            "r := " + expression + ";");
    machine.scan(100);
    return machine.get(machine.cell("r"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "UINT | 2 + 3 * five | 17",
        "UINT | (five + 3) * five MOD 7 | 5",
        "UINT | five - 2 - 1 | 2",
        "UINT | 17 / five | 3",
        "BOOL | NOT (five > 4) OR five = 5 AND five <> 6 | 1",
        "BOOL | TRUE XOR TRUE | 0",
        "BOOL | big > 4294967294 | 1",
        "WORD | 16#A001 XOR UINT_TO_WORD(five) | 40964",
        "WORD | SHR(UINT_TO_WORD(five), 1) | 2",
        "UDINT | REAL_TO_UDINT(2.5E0) | 2",
        "UDINT | UINT_TO_UDINT(five) | 5",
        "UINT | SEL(five > 4, five, 7) | 7",
        "TIME | T#1m1s500ms + T#0.5s | 62000"
      })
  void expressions(String type, String expression, long expected) {
    assertEquals(expected, result(type, expression));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "r := big + 1; | p.st:3: 4294967296 does not fit UDINT",
        "r := r - 1; | p.st:3: -1 does not fit UDINT",
        "r := big / r; | p.st:3: division by zero",
        "cells[five] := 1; | p.st:3: 5 is not within 0..4",
        "WHILE r = 0 DO five := five; END_WHILE; | p.st:3: WHILE does not end"
      })
  void whatAPlcMightDoSilentlyIsAnErrorWithItsLine(String body, String message) {
    Machine machine =
        of(
            "r : UDINT; big : UDINT := 4294967295; five : UINT := 5; cells : ARRAY [0..4] OF UINT;",
            body);
    StException error = assertThrows(StException.class, () -> machine.scan(100));
    assertEquals(message, error.getMessage());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "r := five; | p.st:3: UDINT needed, UINT found",
        "r := 1.5; | p.st:3: UDINT needed, POINT found",
        "five := 65536; | p.st:3: 65536 does not fit UINT",
        "nine := 5; | p.st:3: NINE is not declared",
        "r := r + five; | p.st:3: UDINT needed, UINT found",
        "IF five THEN r := 1; END_IF; | p.st:3: BOOL needed, UINT found",
        "IF five = 5 THEN r := 1; | p.st:4: ELSIF or ELSE or END_IF expected",
        "r := 1 | p.st:4: ';' expected, 'END_PROGRAM' found",
        "r := ?; | p.st:3: cannot read '?'",
        "(* r := 1; | p.st:3: cannot read '('",
        "timer.IN := TRUE; | p.st:3: IN is not an output of TON",
        "timer.Q := TRUE; | p.st:3: this may not be written",
        "timer(ET := T#1s); | p.st:3: TON has no input ET",
        "r := F(five); | p.st:3: no function F with 1 values"
      })
  void whatIsWrongIsSaidWithItsLine(String body, String message) {
    StException error =
        assertThrows(StException.class, () -> of("r : UDINT; five : UINT; timer : TON;", body));
    assertEquals(message, error.getMessage());
  }

  /** On after PT without a break; ET stands at PT; a break starts it anew. */
  @Test
  void onDelayTimer() {
    Machine machine =
        of("on : BOOL; timer : TON; q : BOOL;", "timer(IN := on, PT := T#300ms); q := timer.Q;");
    int[] on = {1, 1, 1, 1, 1, 0, 1, 1};
    int[] q = {0, 0, 0, 1, 1, 0, 0, 0};
    for (int scan = 0; scan < on.length; scan++) {
      machine.set(machine.cell("on"), on[scan]);
      machine.scan(100);
      assertEquals(q[scan], machine.get(machine.cell("q")), "scan " + scan);
    }
  }

  @Test
  void retentiveVariablesOutliveARestartAndNothingElse() {
    String text =
        """
        FUNCTION_BLOCK B
        VAR RETAIN k : UINT := 7; END_VAR
        VAR v : UINT := 7; END_VAR
        k := k + 1; v := v + 1;
        END_FUNCTION_BLOCK
        PROGRAM P
        VAR b : B; END_VAR
        VAR RETAIN all : ARRAY [0..1] OF UINT; END_VAR
        b(); all[1] := all[1] + 1;
        END_PROGRAM
        """;
    Machine machine = new Machine(new Program(Map.of("p.st", text), "P"));
    machine.scan(100);
    machine.scan(100);
    machine.restart();
    assertEquals(9, machine.get(machine.cell("b.k")));
    assertEquals(7, machine.get(machine.cell("b.v")));
    assertEquals(2, machine.get(machine.cell("all") + 1));
    machine.loseMemory();
    assertEquals(7, machine.get(machine.cell("b.k")));
    assertEquals(0, machine.get(machine.cell("all") + 1));
  }

  @Test
  void caseTakesOneArmAndForCountsToItsEnd() {
    Machine machine =
        of(
            "i : UINT; n : UINT; seen : UINT;",
            "FOR i := 1 TO 5 BY 2 DO CASE i OF 1, 2: n := n + 1; 3: n := n + 10; ELSE n := n + 100;"
                + " END_CASE; seen := i; END_FOR;");
    machine.scan(100);
    assertEquals(111, machine.get(machine.cell("n")));
    assertEquals(5, machine.get(machine.cell("seen")));
  }
}
