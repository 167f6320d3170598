package org.bathwarden.dosing;

import java.util.List;
import java.util.Optional;
import org.bathwarden.tank.Mode;
import org.bathwarden.tank.TankSheet;

/**
 * One pass of dosing over one tank: settle the open order by reading, book what flowed, see what
 * forbids, decide what is wanted, propose or order it.
 */
public final class Dosing {

  private Dosing() {}

  /** One pass; {@link Intake#admit} has taken in the entries before. */
  public static DosingStep run(
      DosingSettings settings, TankSheet sheet, DosingState before, DosingInput in) {
    DosingDraft draft = new DosingDraft(before, sheet.id(), in.now());
    DosingPass pass = new DosingPass(settings, sheet, draft, in);

    pass.keepModeWithin(settings.highestMode(sheet));
    List<DosingEvent> read = pass.readOrders();
    double poured = pass.bookFlows(before.book(), read);
    pass.judgeTitrations();
    pass.followBath();
    UnseenFlows.owe(settings.orderRules(sheet), draft, read);
    ProofPass proofs = new ProofPass(settings, sheet, draft, in);
    proofs.take(read);
    Verdict verdict = pass.runInterlocks(read);
    proofs.watch();
    Decision decision = proofs.decide(verdict, () -> pass.decide(verdict));
    Optional<Wish> wish = pass.wish(decision);
    draft.take(
        draft.proposals.step(
            sheet.id(), poured, wish, draft.mode == Mode.PROPOSE && !draft.leaving, in.now()));
    BookStep act = pass.writeOrders(verdict, wish);
    proofs.ordered(act.events());
    Optional<SupplyRequest> supplies = pass.supplies(wish);

    return new DosingStep(draft.state(), draft.events, act.writes(), decision, verdict, supplies);
  }
}
