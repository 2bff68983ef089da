import DooryardCore
import Foundation
import Testing

@Suite struct EnrolmentTests {
    let folder: Folder
    let desk: Desk
    let notebook: FieldNotebook

    init() throws {
        folder = try Folder()
        desk = try Desk(office: folder.path("office"))
        notebook = try FieldNotebook.create(path: folder.path("phone"), secrets: MemorySecrets())
    }

    private func asking(_ state: EnrolmentView) throws -> (invitation: InvitationView, ask: String) {
        guard case .asking(let invitation, let ask) = state else {
            throw NotebookError.ShutDown
        }
        return (invitation, ask)
    }

    @Test func threeTextsMakeAPhoneTheOfficesAndBothSidesSeeTheSameWords() throws {
        #expect(try notebook.enrolment() == .notInvited)
        let text = try desk.invite("Scout 8")
        let seen = try notebook.readInvitation(text: text)
        #expect([seen.office, seen.label] == ["Larkspur County", "Scout 8"])
        #expect(seen.role == .scout)
        #expect(!seen.past && seen.expiresMs > Int64(Date().timeIntervalSince1970 * 1000))
        #expect(try notebook.enrolment() == .notInvited, "looking changes nothing")

        let (invitation, ask) = try asking(notebook.join(text: text))
        #expect(invitation == seen)
        #expect(try notebook.enrolment() == .asking(invitation: invitation, ask: ask))
        #expect(seen.words.en.split(separator: " ").count == 6)
        #expect(seen.words.en != seen.words.es)
        let enrolled = try notebook.takeAnswer(text: desk.admit(ask))
        let expected = EnrolmentView.enrolled(
            office: "Larkspur County", role: .scout, label: "Scout 8", words: seen.words)
        #expect(enrolled == expected)
        #expect(try notebook.enrolment() == expected)
    }

    @Test func onPaperTheFirstBundleWaitsAndAReplyBringsTheAnswer() throws {
        let (invitation, _) = try asking(notebook.join(text: desk.invite("Scout 8")))
        let saved = try FieldWork(in: notebook, by: "Scout 8")
        let (bundle, reply) = (folder.path("first.yard"), folder.path("reply.yard"))
        _ = try notebook.makeBundle(outPath: bundle)
        #expect(try desk.keepsBack(bundle) == "UNKNOWN_DEVICE")
        #expect(try desk.words(of: "Scout 8") == [invitation.words.en, invitation.words.es])
        _ = try desk.admit(invitation.words.es)
        try desk.reply(to: "Scout 8", out: reply)
        let taken = try notebook.takeReply(path: reply)
        #expect(taken.received == 5, "what waited was taken in when the phone was admitted")
        guard case .enrolled = try notebook.enrolment() else {
            Issue.record("the reply brought no certificate")
            return
        }
        #expect(try notebook.way(id: saved.inquiry) == .officeHasIt)
    }

    @Test func anotherOfficesInvitationAndAnAnswerForAnotherPhoneAreRefused() throws {
        let state = try notebook.join(text: desk.invite("Scout 8"))
        let elsewhere = try Desk(office: folder.path("elsewhere")).invite("Scout 8")
        #expect(try notebook.readInvitation(text: elsewhere).words != asking(state).invitation.words)
        #expect(refusal { _ = try notebook.join(text: elsewhere) } == "NOT_FOR_US")
        let other = try FieldNotebook.create(path: folder.path("other"), secrets: MemorySecrets())
        let ours = try desk.admit(asking(state).ask)
        guard case .NotEnrolled? = thrown(by: { _ = try other.takeAnswer(text: ours) }) else {
            Issue.record("took an answer without an invitation")
            return
        }
        let theirs = try desk.admit(asking(other.join(text: desk.invite("Scout 9"))).ask)
        #expect(refusal { _ = try notebook.takeAnswer(text: theirs) } == "NOT_FOR_US")
        _ = try other.takeAnswer(text: theirs)
        #expect(try notebook.enrolment() == state, "nothing was changed")
    }

    @Test func aCodeThatAnotherPhoneUsedIsRefusedAtTheDeskAndNothingIsLostOnThePhone() throws {
        let text = try desk.invite("Scout 8")
        _ = try desk.admit(asking(notebook.join(text: text)).ask)
        let second = try FieldNotebook.create(path: folder.path("second"), secrets: MemorySecrets())
        let state = try second.join(text: text)
        #expect(try desk.refusesToAdmit(asking(state).ask) == "CODE_USED")
        let kept = try second.save(kind: .site, id: nil, fieldsJson: #"{"township": "Sedge"}"#)
        _ = try second.makeBundle(outPath: folder.path("second.yard"))
        #expect(try desk.keepsBack(folder.path("second.yard")) == "CODE_USED")
        #expect(try second.enrolment() == state)
        #expect(try second.show(id: kept).text("township") == "Sedge")
    }

    @Test func aWrongLetterACutTextAndATextOfAnotherKindAreRefused() throws {
        let text = try desk.invite("Scout 8")
        var letters = Array(text)
        letters[60] = letters[60] == "A" ? "B" : "A"
        for wrong in ["", "hello", String(letters), String(text.dropLast(9))] {
            #expect(refusal { _ = try notebook.readInvitation(text: wrong) } == "SCHEMA")
            #expect(refusal { _ = try notebook.join(text: wrong) } == "SCHEMA")
        }
        #expect(try notebook.enrolment() == .notInvited)
        let state = try notebook.join(text: "\n \(text)\r\n")
        let (invitation, ask) = try asking(state)
        #expect(refusal { _ = try notebook.join(text: ask) } == "SCHEMA")
        #expect(refusal { _ = try notebook.takeAnswer(text: text) } == "SCHEMA")
        let cut = try String(desk.admit(ask).dropLast(9))
        #expect(refusal { _ = try notebook.takeAnswer(text: cut) } == "SCHEMA")
        #expect(try notebook.enrolment() == state)
        #expect(!invitation.past)
    }
}
