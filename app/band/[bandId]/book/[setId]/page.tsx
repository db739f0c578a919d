import { headers } from 'next/headers';
import { pageData } from '@/lib/protocol';
import { Books } from '../../../../part/Books';
import { Title } from '../../../../ui/Title';
import { NotYours } from '../../../NotYours';

interface Props {
  readonly params: Promise<{ bandId: string; setId: string }>;
}

export default async function Book({ params }: Props) {
  const { bandId, setId } = await params;
  const result = await pageData().band(bandId, (await headers()).get('cookie'));
  if (!result.ok) return <NotYours problem={result.error} />;
  const set = result.value.band.sets.find(({ id }) => id === setId);
  if (!set) {
    return (
      <NotYours
        problem={{
          what: 'this band has no such set',
          where: 'in the address of this page',
          mend: "choose a set on the band's page",
        }}
      />
    );
  }
  return (
    <>
      <Title of={`${set.name}: evening book`} />
      <Books first={result.value} setId={setId} />
    </>
  );
}
